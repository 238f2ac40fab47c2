import { Resvg } from '@resvg/resvg-js';
import { describe, expect, test } from 'vitest';
import { driftSvg } from '../../../src/seals/drift-picture.ts';
import { handleEnd, handlesSvg, screensSvg, sealUpSvg } from '../../../src/seals/drawings.ts';
import { lifeSvg } from '../../../src/seals/life-picture.ts';
import type { SizePanel } from '../../../src/seals/size-panels.ts';
import { sizesSvg } from '../../../src/seals/size-picture.ts';
import { contrast, FONTS, INK, toPng } from '../../../src/seals/picture.ts';
import { createWords, readTexts } from '../../../src/words/catalogue.ts';

const say = createWords(readTexts('config/words')).in('en');
const labels = { left: 'left', straight: 'straight', right: 'right', limit: 'change now', today: 'today', first: '10 Dec', last: '9 Jul' };
const drift = driftSvg({ title: 'Handle, group 1', labels, fromDays: 0, nowDays: 90, limitDegrees: 45, readings: [{ ageDays: 0, degrees: -15 }, { ageDays: 90, degrees: 15 }], band: [{ ageDays: 90, low: 10, middle: 14, high: 18 }, { ageDays: 210, low: 20, middle: 40, high: 70 }] });
const life = lifeSvg({ title: 'How long the seals last', today: 'today', key: { range: '8 in 10 end in here', middle: 'half end before this', change: 'day to change' }, months: [{ days: 60, label: '10 May' }], bars: [{ label: 'Group 1', note: 'change 4 Apr', lowDays: 10, medianDays: 60, highDays: 160, changeDays: 24 }] });
const onePanel = (degrees: number, chosen: boolean, mayEndLeft: boolean): SizePanel => ({ stack: { sealMm: 8, shimMm: 0, shims: 0 }, degrees, lowDegrees: degrees - 8, highDegrees: degrees + 8, chosen, mayEndLeft, shelf: { onHand: 2, onOrder: 0 } });
const sized = (panel: SizePanel) => ({ size: '8 mm', points: 'about 6:30', shelf: '2 on the shelf', note: panel.chosen ? 'to fit' : panel.mayEndLeft ? 'too far left?' : '', panel });
const sizes = sizesSvg({ title: 'Group 1: sizes side by side', you: 'You stand here, looking down.', panels: [onePanel(14, false, false), onePanel(-12, true, false), onePanel(-40, false, true)].map(sized) });
const pictures = [['sizes', sizes], ['five handles', handlesSvg(say)], ['which way up', sealUpSvg(say)], ['three screens', screensSvg(say)], ['handle over time', drift], ['seals left', life]] as const;

type Pixels = { readonly width: number; readonly height: number; readonly at: (x: number, y: number) => readonly [number, number, number] };
const pixelsOf = (drawn: string): Pixels => {
  const image = new Resvg(drawn, { font: { fontFiles: [FONTS.plain(), FONTS.bold()], loadSystemFonts: false, defaultFontFamily: 'DejaVu Sans' } }).render();
  const { pixels, width } = image;
  return { width, height: image.height, at: (x, y) => [0, 1, 2].map((c) => pixels[4 * (y * width + x) + c] as number) as unknown as readonly [number, number, number] };
};
const isDark = ([r, g, b]: readonly [number, number, number]): boolean => r + g + b < 180;

describe('contrast (WCAG 2.2, 1.4.3 and 1.4.11)', () => {
  test('is reckoned as its definition says: black on white is 21, and #767676 is the lightest grey that passes 4.5', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 6);
    expect(contrast('#767676', '#ffffff')).toBeGreaterThanOrEqual(4.5);
    expect(contrast('#777777', '#ffffff')).toBeLessThan(4.5);
  });
  test.each(['text', 'quiet', 'danger', 'seal'] as const)('words in %s are read on the ground', (colour) => expect(contrast(INK[colour], INK.ground)).toBeGreaterThanOrEqual(4.5));
  test.each(['line', 'metal', 'seal', 'bandEdge', 'danger'] as const)('lines in %s are seen on the ground', (colour) => expect(contrast(INK[colour], INK.ground)).toBeGreaterThanOrEqual(3));
  test('what lies on the band is seen on it', () => {
    expect(contrast(INK.seal, INK.band)).toBeGreaterThanOrEqual(3);
    expect(contrast(INK.danger, INK.band)).toBeGreaterThanOrEqual(3);
  });
  test.each(pictures)('%s writes in no colour but those', (_name, drawn) => {
    const fills = [...drawn.matchAll(/<text [^>]*fill="(#[0-9a-f]{6})"/g)].map(([, fill]) => fill);
    expect(fills.length).toBeGreaterThan(2);
    expect(fills.every((fill) => contrast(fill ?? '', INK.ground) >= 4.5)).toBe(true);
  });
});

describe('every picture', () => {
  test.each(pictures)('%s: its words are really drawn, each one of them', (_name, drawn) => {
    const words = drawn.match(/<text .*?<\/text>/g) ?? [];
    const whole = pixelsOf(drawn);
    for (const word of words.filter((each) => !/>\s*<\/text>$/.test(each))) {
      const without = pixelsOf(drawn.replace(word, ''));
      let differ = 0;
      for (let y = 0; y < whole.height; y += 1) for (let x = 0; x < whole.width; x += 1) if (whole.at(x, y)[0] !== without.at(x, y)[0]) differ += 1;
      expect(differ, word).toBeGreaterThan(30);
    }
  });

  test.each(pictures)('%s: nothing is cut off at its edge', (_name, drawn) => {
    const { width, height, at } = pixelsOf(drawn);
    const edge = [...Array.from({ length: width }, (_, x) => [at(x, 1), at(x, height - 2)]), ...Array.from({ length: height }, (_, y) => [at(1, y), at(width - 2, y)])].flat();
    expect(edge.every(([r, g, b]) => r === 255 && g === 255 && b === 255)).toBe(true);
  });

  test.each(pictures)('%s: under 100 kB, and letters of 11 pixels on a phone 360 wide', async (_name, drawn) => {
    expect((await toPng(drawn)).length).toBeLessThan(100_000);
    const width = Number(/width="(\d+)"/.exec(drawn)?.[1]);
    const smallest = Math.min(...[...drawn.matchAll(/font-size="(\d+)"/g)].map(([, size]) => Number(size)));
    expect((smallest * 360) / width).toBeGreaterThanOrEqual(11);
  });
});

describe('the five handles are never mirrored', () => {
  test('left of straight is left on the picture, for someone who stands in front', () => {
    expect(handleEnd(-30, 100)[0]).toBeCloseTo(-50, 6);
    expect(handleEnd(30, 100)[0]).toBeCloseTo(50, 6);
    expect(handleEnd(0, 100)).toEqual([0, 100]);
  });

  test.each([[0, 0, -1], [1, 0, -1], [2, 0, 0], [0.5, 1, 1], [1.5, 1, 1]])('panel %d in row %d leans to side %d', (column, row, side) => {
    const { at } = pixelsOf(handlesSvg(say));
    const [left, centre, top] = [column * 230, (column + 0.5) * 230, 72 + row * 270 + 85];
    let sum = 0;
    let count = 0;
    for (let y = top; y < top + 40; y += 1)
      for (let x = left; x < left + 230; x += 1)
        if (isDark(at(x, y))) {
          sum += x - centre;
          count += 1;
        }
    expect(count).toBeGreaterThan(300);
    expect(Math.abs(sum / count) < 4 ? 0 : Math.sign(sum / count)).toBe(side);
  });
});
