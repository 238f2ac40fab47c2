import Database from 'better-sqlite3';
import { cpSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { build } from './build.ts';
import { newFolder, pipe, start } from './run.ts';

const DAY = ['jump 22:00', 'done', 'jump 22:20', 'as ola', 'in direct', 'the left group drips round the handle when we brew', 'jump tomorrow 8:30', '/today', 'nonsense and more nonsense'];

beforeAll(build);

describe('the practice chat as a program', () => {
  test('the same lines print the same bytes, twice', async () => {
    const first = await pipe(DAY, { DATA_DIR: newFolder() });
    const second = await pipe(DAY, { DATA_DIR: newFolder() });
    expect(first.code).toBe(0);
    expect(first.out).toContain('Closing, groups 1 and 2');
    expect(second.out).toBe(first.out);
  });

  test('it goes on where it was: clock, list and old buttons', async () => {
    const folder = newFolder();
    await pipe(['jump 22:00'], { DATA_DIR: folder });
    const later = await pipe(['a1', 'jump 22:30'], { DATA_DIR: folder });
    expect(later.out).toContain('It is Tue 9 Mar 22:00 there');
    expect(later.out).toContain('3 of 4 done, 22:00, Sam');
    expect(later.out).not.toContain('1 Backflush, rinse till clear');
  });

  test('killed in the middle of the evening: nothing lost, nothing twice, every list shows what is stored', async () => {
    const folder = newFolder();
    const { child, printed, ended } = start({ DATA_DIR: folder });
    child.stdin.write('jump 22:00\ndone\n');
    await printed('Thanks, Sam. 1, 2 and 4 done');
    child.kill('SIGKILL');
    await ended;
    const again = await pipe(['jump 23:30', 'done'], { DATA_DIR: folder });
    expect(again.code).toBe(0);
    const db = new Database(join(folder, 'grouphand.sqlite'), { readonly: true });
    const lists = db.prepare("select state, version, shown_version from outbox where kind = 'reminder'").all() as { state: string; version: number; shown_version: number }[];
    expect(lists).toHaveLength(1);
    expect(lists[0]?.shown_version).toBe(lists[0]?.version);
    expect(db.prepare("select count(*) as n from occurrence where state = 'done'").get()).toEqual({ n: 3 });
    db.close();
  });

  test.each(['SIGTERM', 'SIGINT'] as const)('%s, also twice, ends it with 0', async (signal) => {
    const { child, printed, ended } = start({ DATA_DIR: newFolder() });
    await printed('Practice at an invented café');
    child.kill(signal);
    child.kill(signal);
    expect((await ended).code).toBe(0);
  });

  test('two processes on one folder: the second is told and changes nothing', async () => {
    const folder = newFolder();
    const first = start({ DATA_DIR: folder });
    await first.printed('Practice at an invented café');
    const second = await pipe(['jump 22:00'], { DATA_DIR: folder });
    expect(second.code).toBe(1);
    expect(second.err.trim().split('\n')).toHaveLength(1);
    expect(second.err).toContain('Another grouphand is already using this data folder');
    first.child.stdin.end('quit\n');
    expect((await first.ended).code).toBe(0);
  });

  test('a setting that cannot be is told in words, with no stack', async () => {
    const ended = await pipe([], { DATA_DIR: newFolder(), REHEARSAL_CLOCK: 'yesterday' });
    expect(ended.code).toBe(1);
    expect(ended.err).toContain('REHEARSAL_CLOCK must look like');
    expect(ended.err).not.toContain('    at ');
  });

  test('an unreachable database server', async () => {
    const ended = await pipe([], { DATABASE_URL: 'postgres://nobody@127.0.0.1:1/none' });
    expect(ended.code).toBe(1);
    expect(ended.err).toContain('The database cannot be reached');
    expect(ended.err).not.toContain('    at ');
  });

  test('a broken file in config is told with file, key and cure, before anything is opened', async () => {
    const place = newFolder();
    for (const name of ['dist', 'config']) cpSync(name, join(place, name), { recursive: true });
    cpSync('package.json', join(place, 'package.json'));
    symlinkSync(resolve('node_modules'), join(place, 'node_modules'));
    const file = join(place, 'config', 'routine.yaml');
    writeFileSync(file, readFileSync(file, 'utf8').replace('FREQ=DAILY', 'FREQ=SOMETIMES'));
    const { child, ended } = start({ DATA_DIR: join(place, 'data'), LOG_LEVEL: 'warn' }, join(place, 'dist', 'main.js'));
    child.stdin.end();
    const { code, err } = await ended;
    expect(code).toBe(1);
    expect(err).toContain('routine.yaml');
    expect(err).toContain('is not a recurrence rule');
    expect(err).not.toContain('    at ');
  });
});
