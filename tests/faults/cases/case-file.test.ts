import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { readCases } from '../../../src/faults/case-file.ts';
import { readCatalogue } from '../../../src/faults/catalogue-read.ts';

const catalogue = readCatalogue('config/faults');
const CASE = {
  id: 'mine', machine: { kind: 'HX', groups: 2, lever: 'no', exhaust: 'yes', gas: 'no', feed: 'mains' }, context: { openNow: true },
  complaint: 'left group drips', symptom: 'leak-at-rim', answers: { 'water-amount': 'drips' },
};
const problemIn = (given: unknown): string => {
  const read = readCases(catalogue, typeof given === 'string' ? given : JSON.stringify(given));
  return read.ok ? '' : read.problem;
};

describe('a case of a technician\'s own', () => {
  test('is read, alone or in a list', () => {
    expect(readCases(catalogue, JSON.stringify(CASE))).toMatchObject({ ok: true, many: false, cases: [{ id: 'mine' }] });
    expect(readCases(catalogue, JSON.stringify([CASE, CASE]))).toMatchObject({ ok: true, many: true });
  });

  test.each([
    ['{bad', /^The file is no JSON\./],
    [{ ...CASE, machine: undefined }, /^In case "mine", "machine": /],
    [{ ...CASE, machine: { ...CASE.machine, kind: 'XX' } }, /^In case "mine", "machine\.kind": .*HX/],
    [[CASE, { answers: {} }], /^In case 2, "id": /],
    [{ ...CASE, symptom: 'leaks' }, /^In case "mine", there is no complaint "leaks"; one of: leak-at-rim/],
    [{ ...CASE, answers: { 'water-amounts': 'drips' } }, /^In case "mine", there is no question "water-amounts"/],
    [{ ...CASE, answers: { 'water-amount': 'rivers' } }, /^In case "mine", question "water-amount" has no answer "rivers"; one of: drips/],
  ])('what is wrong is one sentence with the case and the field (%#)', (given, said) => {
    expect(problemIn(given)).toMatch(said);
    expect(problemIn(given)).not.toContain('\n');
  });

  test('the cases of the project are read whole', () => {
    for (const file of ['open', 'held-out']) expect(problemIn(readFileSync(`tests/faults/cases/${file}.json`, 'utf8'))).toBe('');
  });
});
