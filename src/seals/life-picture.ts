import { INK, stroke, svg, text, toPng } from './picture.ts';

/** One group as a bar of the days its seal has left. */
export type LifeBar = { readonly label: string; readonly note: string; readonly lowDays: number; readonly medianDays: number; readonly highDays: number; /** Left out where nothing is known of the seal. */ readonly changeDays: number | null };
export type LifeDrawing = { readonly title: string; readonly today: string; readonly key: { readonly range: string; readonly middle: string; readonly change: string }; readonly bars: readonly LifeBar[]; readonly months: readonly { readonly days: number; readonly label: string }[] };

const WIDTH = 720;
const ROW = 132;
const LEFT = 40;
const RIGHT = 40;
const TOP = 84;
const LONGEST_DAYS = 240;

const diamond = (x: number, y: number, r: number): string => `<path d="M${x.toFixed(1)} ${y - r}l${r} ${r}l${-r} ${r}l${-r} ${-r}Z" fill="${INK.danger}" stroke="${INK.ground}" stroke-width="3"/>`;

/** What every group's seal has left: the band holds eight lives of ten, the bar its middle, the diamond the day to change. */
export const lifeSvg = ({ title, today, key, bars, months }: LifeDrawing): string => {
  const x = (days: number): number => LEFT + (Math.min(LONGEST_DAYS, Math.max(0, days)) / LONGEST_DAYS) * (WIDTH - LEFT - RIGHT);
  const bottom = TOP + bars.length * ROW;
  const rows = bars.map((bar, i) => {
    const y = TOP + i * ROW + 72;
    const [low, high] = [x(bar.lowDays), Math.max(x(bar.highDays), x(bar.lowDays) + 8)];
    return [
      text(LEFT + 14, y - 32, bar.label, { size: 30, anchor: 'start', bold: true }), text(WIDTH - RIGHT, y - 32, bar.note, { size: 28, anchor: 'end' }),
      `<rect x="${low.toFixed(1)}" y="${y - 16}" width="${(high - low).toFixed(1)}" height="36" fill="${INK.band}" stroke="${INK.bandEdge}" stroke-width="3"/>`,
      stroke(`M${x(bar.medianDays).toFixed(1)} ${y - 16}v36`, INK.seal, 6),
      ...(bar.changeDays === null ? [] : [diamond(x(bar.changeDays), y + 2, 20)]),
    ].join('');
  });
  return svg(WIDTH, bottom + 174, [
    text(LEFT, 46, title, { size: 32, anchor: 'start', bold: true }),
    ...months.filter(({ days }) => days > 20 && days < LONGEST_DAYS).flatMap(({ days, label }) => [stroke(`M${x(days).toFixed(1)} ${TOP}V${bottom}`, '#d9d9d9', 2), text(x(days), bottom + 34, label, { size: 26 })]),
    stroke(`M${LEFT} ${TOP}V${bottom}H${WIDTH - RIGHT}`, INK.line, 3),
    text(LEFT - 12, bottom + 34, today, { size: 26, anchor: 'start', bold: true }),
    ...rows,
    `<rect x="${LEFT}" y="${bottom + 78}" width="44" height="26" fill="${INK.band}" stroke="${INK.bandEdge}" stroke-width="3"/>`, text(LEFT + 56, bottom + 101, key.range, { size: 26, anchor: 'start' }),
    diamond(LEFT + 380, bottom + 91, 16), text(LEFT + 406, bottom + 101, key.change, { size: 26, anchor: 'start' }),
    stroke(`M${LEFT + 22} ${bottom + 122}v34`, INK.seal, 6), text(LEFT + 56, bottom + 149, key.middle, { size: 26, anchor: 'start' }),
  ]);
};

export const lifePicture = (drawing: LifeDrawing): Promise<Uint8Array> => toPng(lifeSvg(drawing));
