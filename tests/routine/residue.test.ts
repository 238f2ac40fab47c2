import { expect, test } from 'vitest';
import type { JobState } from '../../src/routine/answer.ts';
import { residueTurn } from '../../src/routine/residue.ts';

const OPEN: readonly JobState[] = ['due', 'part done', 'asked', 'soaking', 'later'];

test('detergent counts as there from "done" until its end is said, whatever the job was before', () => {
  for (const from of OPEN) for (const to of ['asked', 'soaking'] as const) expect(residueTurn(from, to, false), `${from} to ${to}`).toBe('there');
});

test('only rinsed, or never begun, clears it: left over, put off and given up do not', () => {
  for (const from of OPEN) {
    expect(residueTurn(from, 'done', false)).toBe('clear');
    expect(residueTurn(from, 'left over', true)).toBe('clear');
    for (const to of ['left over', 'later', "can't", 'not for us'] as const) expect(residueTurn(from, to, false), `${from} to ${to}`).toBe('as before');
  }
});

test('taken back after "done" nobody knows how far it went: it counts as there', () => {
  expect(residueTurn('done', 'due', false)).toBe('there');
  expect(residueTurn('soaking', 'due', false)).toBe('as before');
});
