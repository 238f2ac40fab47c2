import { describe, expect, test } from 'vitest';
import { parseMeasures, parseMm, parsePastDate, readSealForm } from '../../../src/seals/record-input.ts';
import { localDate } from '../../../src/time/local-date.ts';

const today = localDate('2027-03-09');
const form = (more: Readonly<Record<string, string>>) => readSealForm(Object.fromEntries(Object.entries({ size: '8', ...more }).map(([key, text]) => [key, [text]])), today, 'en');

describe('a seal written down by hand', () => {
  test.each([['8', 8], ['8.5', 8.5], ['8,5 mm', 8.5], [' 7mm ', 7]])('reads %j as %d mm', (text, mm) => expect(parseMm(text)).toBe(mm));
  test.each(['', 'banana', '8 or 8.5', '8..5', '-8', '1e3', '٨'])('does not make a thickness of %j', (text) => expect(parseMm(text)).toBeUndefined());

  test('a slip of the pen by a factor of ten is asked again, not stored', () => {
    expect(form({ size: '85' })).toEqual({ ok: false, problem: 'size' });
    expect(form({ size: '0.8' })).toEqual({ ok: false, problem: 'size' });
    expect(form({ shim: '5' })).toEqual({ ok: false, problem: 'shim' });
  });

  test('what is left empty is not known, and no shim is none', () => {
    expect(form({})).toEqual({ ok: true, input: { sizeMm: 8, shimMm: 0, date: null, outsideMm: null, insideMm: null, profile: null, material: null, sideUp: null } });
    expect(form({ shim: 'none', when: 'unknown', kind: 'silicone.down' })).toMatchObject({ ok: true, input: { shimMm: 0, date: null, material: 'silicone', sideUp: 'down' } });
  });

  test.each([['today', '2027-03-09'], ['yesterday', '2027-03-08'], ['3 July', '2026-07-03'], ['8.3.', '2027-03-08'], ['2026-11-30', '2026-11-30'], ['9 march', '2027-03-09']])('takes %j for %s: it lies behind us', (text, date) => expect(parsePastDate(text, today, 'en')).toBe(date));
  test('a day to come and no day at all are told apart', () => {
    expect(parsePastDate('24 dec 2031', today, 'en')).toBe('ahead');
    expect(parsePastDate('tomorrow', today, 'en')).toBeUndefined();
    expect(parsePastDate('last week', today, 'en')).toBeUndefined();
    expect(parsePastDate('5/4', today, 'en')).toBeUndefined();
  });

  test('measures are put the right way round, and an inside wider than the outside cannot be', () => {
    expect(parseMeasures('57 x 73 mm, bevel')).toEqual({ outsideMm: 73, insideMm: 57, profile: 'bevel' });
    expect(parseMeasures('bevel')).toEqual({ outsideMm: null, insideMm: null, profile: 'bevel' });
    expect(parseMeasures('73 x 73')).toBeUndefined();
    expect(parseMeasures('7 x 5')).toBeUndefined();
    expect(parseMeasures('73')).toBeUndefined();
  });
});
