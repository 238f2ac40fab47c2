import type { Say } from '../words/catalogue.ts';
import { INK, stroke, svg, text, toPng } from './picture.ts';

type Handle = { readonly word: string; readonly degrees: number };

/** As the buttons stand below the drawing: seen from above, positive to the right of who stands in front. */
const HANDLES: readonly Handle[] = [
  { word: 'left', degrees: -30 }, { word: 'bit-left', degrees: -15 }, { word: 'straight', degrees: 0 },
  { word: 'bit-right', degrees: 15 }, { word: 'right', degrees: 30 },
];

const PANEL = { width: 230, height: 270 };
const RIM = 52;

/** Where the end of a handle lies: y grows downwards, towards the barista. */
export const handleEnd = (degrees: number, length: number): readonly [number, number] => {
  const radians = (degrees * Math.PI) / 180;
  return [length * Math.sin(radians), length * Math.cos(radians)];
};

const handle = (x: number, y: number, { degrees }: Handle): string => {
  const [fromX, fromY] = handleEnd(degrees, RIM);
  const [toX, toY] = handleEnd(degrees, RIM + 96);
  return [
    stroke(`M${x} ${y + RIM + 4}V${y + RIM + 106}`, INK.quiet, 3, 'stroke-dasharray="4 9"'),
    `<circle cx="${x}" cy="${y}" r="${RIM}" fill="${INK.ground}" stroke="${INK.line}" stroke-width="6"/><circle cx="${x}" cy="${y}" r="${RIM - 17}" fill="none" stroke="${INK.seal}" stroke-width="7"/>`,
    stroke(`M${(x + fromX).toFixed(1)} ${(y + fromY).toFixed(1)}L${(x + toX).toFixed(1)} ${(y + toY).toFixed(1)}`, INK.text, 22, 'stroke-linecap="round"'),
  ].join('');
};

/** Five handles seen from above; the dashed line is straight. */
export const handlesSvg = (say: Say): string => {
  const panels = HANDLES.map((each, i) => {
    const row = i < 3 ? 0 : 1;
    const x = row === 0 ? PANEL.width * (i + 0.5) : PANEL.width * (i - 3 + 1);
    const y = 72 + row * PANEL.height;
    return handle(x, y, each) + text(x, y + RIM + 146, say(`look.handle.${each.word}`), { size: 34, bold: true });
  });
  return svg(3 * PANEL.width, 2 * PANEL.height + 58, [...panels, text(1.5 * PANEL.width, 2 * PANEL.height + 40, say('drawing.you'), { size: 28, fill: INK.quiet })]);
};

export const handlesPicture = (say: Say): Promise<Uint8Array> => toPng(handlesSvg(say));

const pointer = (from: readonly [number, number], to: readonly [number, number]): string =>
  stroke(`M${from[0]} ${from[1]}L${to[0]} ${to[1]}`, INK.line, 3) + `<circle cx="${to[0]}" cy="${to[1]}" r="6" fill="${INK.line}"/>`;

const solid = (d: string, fill: string, edge: string): string => `<path d="${d}" fill="${fill}" stroke="${edge}" stroke-width="5" stroke-linejoin="round"/>`;

/** A ring cut through: the marked side up, the bevel inside and down. Not every machine is like that, and it says so. */
export const sealUpSvg = (say: Say): string =>
  svg(690, 500, [
    text(345, 50, say('drawing.seal.title'), { size: 34, bold: true }),
    solid('M90 200H220V278L158 340H90Z', INK.band, INK.seal),
    solid('M600 200H470V278L532 340H600Z', INK.band, INK.seal),
    stroke('M222 204H468M160 338H530', INK.seal, 3, 'stroke-dasharray="10 8"'),
    text(345, 118, say('drawing.seal.marks'), { size: 30 }),
    pointer([250, 130], [155, 196]), pointer([440, 130], [535, 196]),
    text(345, 420, say('drawing.seal.bevel'), { size: 30 }),
    pointer([290, 392], [192, 312]), pointer([400, 392], [498, 312]),
    text(345, 474, say('drawing.seal.as-old'), { size: 26, fill: INK.quiet }),
  ]);

const SCREEN_WIDTH = 330;

/** The body of a group from the side, with its seal, at the left edge `x`. */
const groupBody = (x: number): string =>
  solid(`M${x + 30} 90H${x + 300}V250H${x + 270}V150H${x + 60}V250H${x + 30}Z`, '#e4e4e4', INK.metal) + [62, 232].map((at) => solid(`M${x + at} 200h36v44h-36Z`, INK.band, INK.seal)).join('');

const plate = (x: number, y: number, from: number, to: number): string => stroke(`M${x + from} ${y}H${x + to}`, INK.text, 12) + stroke(`M${x + from + 14} ${y}H${x + to - 10}`, INK.ground, 4, 'stroke-dasharray="6 12"');

const screw = (x: number, from: number, to: number): string => solid(`M${x + 153} ${from}h24V${to}h14v20h-52v-20h14Z`, '#b9b9b9', INK.text);

/** The three ways a screen is held, each cut through. */
export const screensSvg = (say: Say): string => {
  const by = {
    screw: (x: number): string => groupBody(x) + plate(x, 238, 100, 230) + screw(x, 150, 246),
    seal: (x: number): string => groupBody(x) + plate(x, 252, 66, 264),
    block: (x: number): string => groupBody(x) + solid(`M${x + 108} 156h114v62h-114Z`, '#cfcfcf', INK.metal) + plate(x, 238, 100, 230) + screw(x, 218, 246),
  } as const;
  const panels = (['screw', 'seal', 'block'] as const).map((kind, i) => {
    const x = i * SCREEN_WIDTH;
    return by[kind](x) + text(x + 165, 330, say(`drawing.screen.${kind}.1`), { size: 36, bold: true }) + text(x + 165, 376, say(`drawing.screen.${kind}.2`), { size: 33 });
  });
  return svg(3 * SCREEN_WIDTH, 412, [text(1.5 * SCREEN_WIDTH, 58, say('drawing.screen.title'), { size: 40, bold: true }), ...panels]);
};

export const sealUpPicture = (say: Say): Promise<Uint8Array> => toPng(sealUpSvg(say));
export const screensPicture = (say: Say): Promise<Uint8Array> => toPng(screensSvg(say));
