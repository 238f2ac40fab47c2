import { describe, expect, test } from 'vitest';
import { localTime } from '../../src/time/wall-time.ts';
import { instant } from '../../src/time/instant.ts';
import { sheetPage } from '../../src/reports/sheet-page.ts';
import { sheetOf, type SheetFacts } from '../../src/reports/sheet-view.ts';
import { createWords, readTexts } from '../../src/words/catalogue.ts';

const show = { say: createWords(readTexts('config/words')).in('en'), reader: { locale: 'en', zone: 'Europe/Madrid' } };
const facts: SheetFacts = {
  cafe: 'Lantern Street', now: instant(Date.parse('2027-03-09T20:58:30Z')), gas: false,
  site: { switchOff: 'black switch under the till', breaker: null, waterTap: null, emergency: '112', gas: null, poison: null },
  calls: [{ who: 'Emergency', number: '112' }, { who: 'Technician Ana', number: '555 0134' }, { who: 'Owner', number: null }],
  jobs: [{ job: 'backflush', often: { kind: 'daily' }, moment: { kind: 'at-closing' }, off: false }, { job: 'seal-look', often: { kind: 'weekly', every: 1, days: [4] }, moment: { kind: 'cold', minutes: 90, onClosedDay: localTime('10:00') }, off: false }],
  fitted: ['Group 1: 8 mm, no shim.', 'Group 2: 8 mm, no shim.'],
};
const pagesOf = (bytes: Uint8Array): number => [...Buffer.from(bytes).toString('latin1').matchAll(/\/Type \/Page\b(?!s)/g)].length;

describe('the page for the wall', () => {
  test('fills in the switch and the numbers, and leaves a line to write on where nothing is known', () => {
    const sheet = sheetOf(show, facts);
    expect(sheet.off.title).toBe('OFF: black switch under the till');
    expect(sheet.off.lines.every((each) => each.endsWith('___'))).toBe(true);
    expect(sheet.calls).toContain('Emergency: 112');
    expect(sheet.calls.find((each) => each.startsWith('Owner'))).toMatch(/_{5}$/);
  });

  test('every danger has its steps with the café\'s own places, and paper never says it cannot telephone', () => {
    const sheet = sheetOf(show, { ...facts, gas: true });
    const all = sheet.danger.flatMap(({ lines }) => lines);
    expect(sheet.danger).toHaveLength(9);
    expect(sheet.danger.every(({ lines }) => lines.length >= 3 && lines.every((each) => each !== ''))).toBe(true);
    expect(all.join(' ')).not.toMatch(/I cannot telephone|\{/);
    expect(all.join(' ')).toContain('black switch under the till');
  });

  test('gas stands on it unless the machine is known to burn none', () => {
    expect(sheetOf(show, facts).danger.map(({ title }) => title)).not.toContain('Gas smell');
    expect(sheetOf(show, { ...facts, gas: true }).danger.map(({ title }) => title)).toContain('Gas smell');
  });

  test('is one page, of a size for a printer, with the longest places and every job at once', async () => {
    const long = 'x'.repeat(20) + ' behind the third door on the left'.repeat(2);
    const many = Array.from({ length: 14 }, (_, i) => facts.jobs[i % 2] as SheetFacts['jobs'][number]);
    const bytes = await sheetPage(sheetOf(show, { ...facts, gas: true, jobs: many, site: { switchOff: long, breaker: long, waterTap: long, emergency: '112', gas: '900 1234567', poison: '91 5620420' } }));
    expect(pagesOf(bytes)).toBe(1);
    expect(bytes.length).toBeLessThan(100_000);
    expect(pagesOf(await sheetPage(sheetOf(show, facts)))).toBe(1);
  });
});
