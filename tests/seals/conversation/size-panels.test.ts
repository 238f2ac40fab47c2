import { describe, expect, test } from 'vitest';
import type { Stock } from '../../../src/parts/ledger.ts';
import { nextSize, nextStack } from '../../../src/seals/record-forecast.ts';
import type { GroupHistory } from '../../../src/seals/record-evidence.ts';
import { sealsOn, type SealShelf } from '../../../src/seals/shelf.ts';
import { fromShelf, sizePanels } from '../../../src/seals/size-panels.ts';
import { clockOf, sizesPictureOf } from '../../../src/seals/size-picture.ts';
import { shortStack } from '../../../src/seals/stack-text.ts';
import { createWords, readTexts } from '../../../src/words/catalogue.ts';
import { assumed } from '../assumed.ts';

const DAY = 86_400_000;
const NOW = 400 * DAY;
const show = { say: createWords(readTexts('config/words')).in('en'), reader: { locale: 'en', zone: 'Europe/Madrid' } };

/** A ring of 8 mm, fitted ten days ago, read new at these handles. */
const young = (...handles: readonly string[]): GroupHistory => ({
  seals: [{ fittedAt: NOW - 10 * DAY, metAt: NOW - 10 * DAY, outAt: null, sizeMm: 8, shimMm: 0, material: 'rubber', whyOut: null, cameOut: null }],
  readings: handles.map((value, i) => ({ what: 'handle', value, state: 'cold', at: NOW - (handles.length - i) * DAY, look: `look${i}` })),
});
const shelf = (counts: Readonly<Record<string, number>>): SealShelf =>
  sealsOn(new Map(Object.entries(counts).map(([part, onHand]): [string, Stock] => [part, { onHand, onOrder: 0, unsure: false, countedAt: null }])));
const advised = (history: GroupHistory) => {
  const fit = nextSize(history, [], assumed, NOW);
  return { group: 2, history, fit, next: nextStack(history, fit, assumed, NOW) };
};

describe('sizes side by side', () => {
  test('a thicker ring points further left, and the one named is the one marked', () => {
    const { fit, next } = advised(young('-15', '-15', '-15'));
    const panels = sizePanels(fit, next, undefined, assumed);
    expect(panels.map(({ stack }) => stack.sealMm)).toEqual([7.5, 8, 8.5]);
    expect(panels.filter(({ chosen }) => chosen).map(({ stack }) => stack.sealMm)).toEqual([8]);
    for (const [i, panel] of panels.slice(1).entries()) expect(panel.degrees).toBeLessThan(panels[i]?.degrees ?? Number.NaN);
    // Half a millimetre on a ramp of about 12 mm a turn is about 15 degrees (common practice, no source).
    expect((panels[0]?.degrees ?? 0) - (panels[1]?.degrees ?? 0)).toBeGreaterThan(8);
    expect((panels[0]?.degrees ?? 0) - (panels[1]?.degrees ?? 0)).toBeLessThan(25);
  });

  test('what may end left of seven is never the one marked, and says so without colour', async () => {
    for (const handles of [['-30', '-30'], ['-15', '-15'], ['0', '0'], ['30', '30']]) {
      const given = advised(young(...handles));
      for (const panel of sizePanels(given.fit, given.next, undefined, assumed)) if (panel.chosen) expect(panel.mayEndLeft && given.next?.same !== true).toBe(false);
    }
    const [picture] = sizesPictureOf(show, advised(young('-15', '-15', '-15')), undefined, assumed);
    expect(picture?.alt).toContain('8\u00a0mm about 6:');
    expect(picture?.alt).toContain(', to fit');
    expect(picture?.alt).toContain('may end too far left');
    expect(picture?.alt).not.toContain('shelf');
    expect((await picture?.draw())?.length).toBeLessThan(100_000);
  });

  test('a size that is not sure is not drawn as the one to fit beside a thinner one that may already end too far left', () => {
    const [seal] = young('-15').seals;
    if (!seal) throw new Error('no seal');
    const history: GroupHistory = { seals: [{ ...seal, fittedAt: null, metAt: NOW - 200 * DAY, outAt: NOW - DAY }, { ...seal, fittedAt: NOW - DAY, metAt: NOW - DAY, shimMm: 0.5 }], readings: [] };
    const given = advised(history);
    expect(given.next).toMatchObject({ sealMm: 8, shimMm: 0.5, sure: false });
    expect(sizesPictureOf(show, given, undefined, assumed)).toEqual([]);
  });

  test('a shim stands beside its seal, short enough for its place in the drawing', async () => {
    const history = { ...young('-15', '-15', '-15'), seals: young().seals.map((seal) => ({ ...seal, shimMm: 0.5 })) };
    const given = advised(history);
    const [picture] = sizesPictureOf(show, given, undefined, assumed);
    expect(picture?.alt).toContain('8\u00a0mm + 0.5\u00a0mm shim about 6:');
    expect(shortStack(show.reader, { sealMm: 8.5, shimMm: 0.5 })).toBe('8.5 + 0.5\u00a0mm');
    expect(shortStack(show.reader, { sealMm: 8.5, shimMm: 0 })).toBe('8.5\u00a0mm');
  });

  test('the shelf is counted where somebody told of its seals, and stays out where nobody did', () => {
    const given = advised(young('-15', '-15', '-15'));
    expect(sizesPictureOf(show, given, shelf({ 'seal-8': 2 }), assumed)[0]?.alt).toContain('to fit, 2 on the shelf');
    expect(sizesPictureOf(show, given, shelf({ 'seal-8': 2 }), assumed)[0]?.alt).toContain('0 on the shelf');
    expect(shelf({ screen: 3 })).toBeUndefined();
  });

  test('another size is offered from the shelf only where the one named is missing and the other stands safe and well', () => {
    const given = advised(young('0', '0', '0'));
    expect(given.next).toMatchObject({ sealMm: 8, sure: true });
    expect(fromShelf(given.fit, given.next, shelf({ 'seal-8': 1, 'seal-8.5': 4 }), assumed)).toBeUndefined();
    expect(fromShelf(given.fit, given.next, undefined, assumed)).toBeUndefined();
    for (const part of ['seal-5.5', 'seal-6', 'seal-7', 'seal-8.5', 'seal-9']) {
      const found = fromShelf(given.fit, given.next, shelf({ [part]: 4 }), assumed);
      if (!found) continue;
      expect(found.leftChance).toBeLessThanOrEqual(assumed.height.leftChanceLimit);
      expect(found.offDegrees).toBeLessThanOrEqual(assumed.handle.goodWithinDegrees);
    }
    expect(fromShelf(given.fit, given.next, shelf({ 'seal-9': 4 }), assumed)).toBeUndefined();
  });

  test('a group that closes to the left is drawn as the person sees it: the same rings, their handles on the other side', () => {
    const given = advised(young('-15', '-15', '-15'));
    const [usual] = sizesPictureOf(show, given, undefined, assumed);
    const [other] = sizesPictureOf(show, { ...given, history: { ...given.history, closes: 'left' } }, undefined, assumed);
    expect(usual?.alt).toMatch(/8\u00a0mm about 6:/);
    expect(other?.alt).toMatch(/8\u00a0mm about 5:/);
    expect(other?.alt).toContain('may end too far right');
  });

  test('nothing is drawn while no size is known', () => {
    expect(sizesPictureOf(show, { group: 1, history: young(), fit: undefined, next: undefined }, undefined, assumed)).toEqual([]);
  });

  test('an hour is told to its quarter', () => {
    expect([clockOf(0), clockOf(-12), clockOf(-30), clockOf(30)]).toEqual(['6:00', '6:30', '7:00', '5:00']);
  });
});
