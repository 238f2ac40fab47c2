import { describe, expect, test } from 'vitest';
import { findings } from './config.ts';

describe('the cards of config/', () => {
  test('agree with their cautions, with the jobs of the catalogue, and with their texts', () => {
    expect(findings.map(({ file, key, problem, cure }) => `${file} ${key}: ${problem}. ${cure}`)).toEqual([]);
  });
});
