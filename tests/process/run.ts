import { spawn, type ChildProcessWithoutNullStreams } from 'node:child_process';
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

export type Ended = { readonly code: number | null; readonly out: string; readonly err: string };

/** The settings of the developer's own shell stay out of it. */
const CLEAN = { PATH: process.env['PATH'], HOME: process.env['HOME'] };

export const newFolder = (): string => mkdtempSync(join(tmpdir(), 'process-'));

export type Started = { readonly child: ChildProcessWithoutNullStreams; readonly ended: Promise<Ended>; readonly printed: (text: string) => Promise<void> };

/** Starts the built program itself, never through npm: a signal must reach it and nothing else. */
export const start = (environment: Readonly<Record<string, string>>, script = 'dist/main.js'): Started => {
  const child = spawn(process.execPath, [script], { env: { ...CLEAN, ...environment } });
  let out = '';
  let err = '';
  const waiting: { text: string; done: () => void }[] = [];
  child.stdout.setEncoding('utf8').on('data', (piece: string) => {
    out += piece;
    for (const each of waiting.filter(({ text }) => out.includes(text))) each.done();
  });
  child.stderr.setEncoding('utf8').on('data', (piece: string) => (err += piece));
  child.stdin.on('error', () => undefined);
  const ended = new Promise<Ended>((resolve) => child.once('close', (code) => resolve({ code, out, err })));
  return {
    child,
    ended,
    printed: (text) =>
      new Promise((done, fail) => {
        if (out.includes(text)) return done();
        waiting.push({ text, done });
        child.once('close', () => fail(new Error(`ended before it printed "${text}". It printed:\n${out}\n${err}`)));
      }),
  };
};

/** The program with these lines as its input, from start to end. */
export const pipe = async (lines: readonly string[], environment: Readonly<Record<string, string>>): Promise<Ended> => {
  const { child, ended } = start(environment);
  child.stdin.end(`${lines.join('\n')}\n`);
  return ended;
};
