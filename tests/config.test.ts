import { cpSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { readConfig } from '../src/assemble.ts';

const place = mkdtempSync(join(tmpdir(), 'config-'));
afterAll(() => rmSync(place, { recursive: true, force: true }));
cpSync('config', place, { recursive: true });

// Read elsewhere: when commands are given to the platform, and when the practice chat begins.
const ELSEWHERE = /(^|\/)(commands\.yaml|rehearsal\/)/;
const files = readdirSync(place, { recursive: true, encoding: 'utf8' }).filter((file) => /\.(yaml|json)$/.test(file) && !ELSEWHERE.test(file)).sort();

const troubleWith = (file: string, text: string): string => {
  const path = join(place, file);
  const whole = readFileSync(path, 'utf8');
  writeFileSync(path, text);
  try {
    readConfig(place);
    return '';
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  } finally {
    writeFileSync(path, whole);
  }
};

describe('a broken file in config/ is told by its name', () => {
  test('as it is, all of it can be read', () => {
    expect(files.length).toBeGreaterThan(40);
    expect(() => readConfig(place)).not.toThrow();
  });

  test.each(files)('%s', (file) => {
    for (const text of ['half: [a, b', 'nothing-of-ours: 7\n', '']) expect(troubleWith(file, text)).toContain(basename(file));
  });
});
