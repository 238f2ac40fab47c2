import { writeFileSync } from 'node:fs';
import { loadavg } from 'node:os';
import { expect, it } from 'vitest';
import { bench } from '../../../src/faults/bench.ts';
import { compile } from '../../../src/faults/compiled.ts';
import type { Case, Reading } from '../../../src/faults/model.ts';
import { nextMove } from '../../../src/faults/next-question.ts';
import { verdict } from '../../../src/faults/verdict.ts';
import type { FullSize } from './full-size.ts';
import { fullSize } from './full-size.ts';
import { aCase, randomFrom, said, unsure } from './tiny.ts';

const MODELS = 8;
/** Calls of the first models warm the engine up and are not counted. */
const WARM = 2;
const WALKS = 4;
const AGAIN = 4;

const timed = <T>(run: () => T): { readonly value: T; readonly ms: number } => {
  const began = performance.now();
  const value = run();
  return { value, ms: performance.now() - began };
};

type Times = { readonly first: number[]; readonly best: number[]; readonly verdict: number[] };

const answered = ({ model }: FullSize, id: string, random: () => number): Reading => {
  const { answers, danger } = model.questions.find((it) => it.id === id)!;
  if (!danger && random() < 0.05) return unsure(id);
  return said(id, (danger ? answers[0]! : answers[Math.floor(random() * answers.length)]!).id);
};

const walk = (full: FullSize, symptom: string, random: () => number, times: Times): void => {
  const readings: Reading[] = [];
  const { model, situation } = full;
  for (;;) {
    const now: Case = aCase([...readings], { symptom });
    const ask = (): ReturnType<typeof nextMove> => nextMove(bench(model, situation, now));
    const first = timed(ask);
    times.first.push(first.ms);
    times.best.push(Math.min(...Array.from({ length: AGAIN }, () => timed(ask).ms)));
    if (first.value.kind === 'act') {
      times.verdict.push(timed(() => verdict(model, situation, now)).ms);
      return;
    }
    readings.push(answered(full, first.value.question, random));
  }
};

const quantile = (values: readonly number[], share: number): string => {
  const sorted = [...values].sort((a, b) => a - b);
  return `${sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!.toFixed(2)} ms`;
};
const line = (name: string, values: readonly number[]): string =>
  `| ${name} | ${values.length} | ${quantile(values, 0.5)} | ${quantile(values, 0.9)} | ${quantile(values, 0.99)} | ${quantile(values, 1)} |`;

const report = (times: Times): string => `# Speed of the fault engine

Run on ${new Date().toISOString().slice(0, 10)} with Node ${process.version}, two cores, load ${loadavg()[0]!.toFixed(1)}:
\`npx vitest run --config tools/vitest.plan.config.ts speed\`.

Random walks through invented models of full size: 150 causes, of which 25 stand behind each complaint, a pair and
"something else" among them; 90 questions, 25 for each complaint; 8 or more useful jobs, two cold slots. A call lays out the case
from its readings and looks for the next question. The machine is shared with other work, so each call is also repeated
${AGAIN} times and the quickest taken: what the engine itself needs.

| | calls | half below | 9 in 10 below | 99 in 100 below | most |
|---|---|---|---|---|---|
${line('next question, as it came', times.first)}
${line(`next question, quickest of ${AGAIN}`, times.best)}
${line('verdict with its turning point', times.verdict)}
`;

it('looks for the next question at full size', () => {
  const times: Times = { first: [], best: [], verdict: [] };
  const random = randomFrom(5);
  for (let seed = 1; seed <= MODELS + WARM; seed += 1) {
    const full = fullSize(seed);
    const into: Times = seed <= WARM ? { first: [], best: [], verdict: [] } : times;
    for (const { id } of full.model.symptoms) {
      compile(full.model, id);
      for (let i = 0; i < WALKS; i += 1) walk(full, id, random, into);
    }
  }
  writeFileSync(new URL('../../../docs/results/fault-speed.md', import.meta.url), report(times));
  expect(times.best.length).toBeGreaterThan(500);
});
