import type { Picture } from '../chat/message.ts';
import { millimetres } from '../words/format.ts';
import { hourOfDegrees } from './clock-hour.ts';
import { turned, type Closes } from './closing.ts';
import type { SealConstants } from './constants.ts';
import { handleEnd } from './drawings.ts';
import type { Fit } from './fit.ts';
import type { Show } from './look-views.ts';
import { INK, stroke, svg, text, toPng } from './picture.ts';
import type { GroupHistory } from './record-evidence.ts';
import type { NextStack } from './record-forecast.ts';
import type { SealShelf } from './shelf.ts';
import { sizePanels, type SizePanel } from './size-panels.ts';
import { shortStack } from './stack-text.ts';

export type SizeDrawing = {
  readonly title: string;
  readonly you: string;
  readonly panels: readonly { readonly size: string; readonly points: string; readonly note: string; readonly shelf: string; readonly panel: SizePanel }[];
};

const PANEL = { width: 230, height: 352, most: 3 };
const TOP = 74;
const RIM = 48;
const REACH = 90;
/** Beyond this no handle would lock; drawn there, it still says "far". */
const FURTHEST = 80;

const drawn = (degrees: number): number => Math.min(FURTHEST, Math.max(-FURTHEST, degrees));

const at = (x: number, y: number, degrees: number, length: number): string => {
  const [dx, dy] = handleEnd(degrees, length);
  return `${(x + dx).toFixed(1)} ${(y + dy).toFixed(1)}`;
};

/** Where eight of ten new handles would end. */
const fan = (x: number, y: number, { lowDegrees, highDegrees }: SizePanel): string => {
  const [low, high] = [drawn(lowDegrees), drawn(highDegrees)];
  const length = RIM + REACH;
  return `<path d="M${x} ${y}L${at(x, y, low, length)}A${length} ${length} 0 0 0 ${at(x, y, high, length)}Z" fill="${INK.band}" stroke="${INK.bandEdge}" stroke-width="3"/>`;
};

/** A frame and a tick say which one is to be fitted: seen without colour as well. */
const chosenMark = (left: number, top: number): string =>
  `<rect x="${left + 5}" y="${top + 3}" width="${PANEL.width - 10}" height="${PANEL.height - 8}" rx="14" fill="none" stroke="${INK.line}" stroke-width="6"/>` +
  `<circle cx="${left + 38}" cy="${top + 36}" r="24" fill="${INK.line}"/>` + stroke(`M${left + 27} ${top + 37}l8 9l15 -19`, INK.ground, 6, 'stroke-linecap="round" stroke-linejoin="round"');

const crossMark = (left: number, top: number): string => stroke(`M${left + 24} ${top + 22}l26 26m0 -26l-26 26`, INK.danger, 7, 'stroke-linecap="round"');

const sizePanel = (left: number, top: number, { size, points, note, shelf, panel }: SizeDrawing['panels'][number]): string => {
  const [x, y] = [left + PANEL.width / 2, top + 80];
  return [
    panel.chosen ? chosenMark(left, top) : panel.mayEndLeft ? crossMark(left, top) : '',
    fan(x, y, panel),
    stroke(`M${x} ${y + RIM}v${REACH + 12}`, INK.quiet, 3, 'stroke-dasharray="4 9"'),
    `<circle cx="${x}" cy="${y}" r="${RIM}" fill="${INK.ground}" stroke="${INK.line}" stroke-width="6"/><circle cx="${x}" cy="${y}" r="${RIM - 16}" fill="none" stroke="${INK.seal}" stroke-width="7"/>`,
    stroke(`M${at(x, y, drawn(panel.degrees), RIM)}L${at(x, y, drawn(panel.degrees), RIM + REACH - 12)}`, INK.text, 18, 'stroke-linecap="round"'),
    text(x, top + 252, size, { size: panel.stack.shimMm > 0 ? 27 : 32, bold: true }), text(x, top + 283, points, { size: 25 }), text(x, top + 312, shelf, { size: 25 }),
    text(x, top + 340, note, { size: 25, bold: panel.chosen, fill: panel.mayEndLeft && !panel.chosen ? INK.danger : INK.text }),
  ].join('');
};

/** Sizes side by side as their handles would stand, seen from above; never mirrored: degrees are as the person sees them. */
export const sizesSvg = ({ title, you, panels }: SizeDrawing): string => {
  const columns = Math.min(PANEL.most, panels.length === 4 ? 2 : panels.length);
  const rows = Math.ceil(panels.length / columns);
  const width = PANEL.most * PANEL.width;
  const edge = (width - columns * PANEL.width) / 2;
  const bottom = TOP + rows * PANEL.height;
  return svg(width, bottom + 44, [
    text(width / 2, 48, title, { size: 32, bold: true }),
    ...panels.map((each, i) => sizePanel(edge + (i % columns) * PANEL.width, TOP + Math.floor(i / columns) * PANEL.height, each)),
    text(width / 2, bottom + 28, you, { size: 26, fill: INK.quiet }),
  ]);
};

/** To the quarter of an hour: what anybody can read off a handle. */
export const clockOf = (degrees: number): string => {
  const minutes = Math.round(hourOfDegrees(degrees) * 4) * 15;
  return `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}`;
};

/** Reckoned in the sense of closing, drawn as the person sees it. */
const asSeen = (panel: SizePanel, closes: Closes | undefined): SizePanel => {
  const ends = [turned(panel.lowDegrees, closes), turned(panel.highDegrees, closes)].toSorted((a, b) => a - b) as [number, number];
  return { ...panel, degrees: turned(panel.degrees, closes), lowDegrees: ends[0], highDegrees: ends[1] };
};

/** A size that is not sure is not drawn as the one to fit beside a thinner one that may already end too far left. */
const contradicts = (panels: readonly SizePanel[], next: NextStack | undefined): boolean => {
  const chosen = panels.findIndex((panel) => panel.chosen);
  return next?.sure !== true && panels.slice(0, Math.max(0, chosen)).some(({ mayEndLeft }) => mayEndLeft);
};

type Advised = { readonly group: number; readonly history: Pick<GroupHistory, 'closes'>; readonly fit: Fit | undefined; readonly next: NextStack | undefined };

/** Where the handle of a group would point with the size named and with those beside it; none while no size is named. */
export const sizesPictureOf = ({ say, reader }: Show, { group, history: { closes }, fit, next }: Advised, shelf: SealShelf, constants: SealConstants): readonly Picture[] => {
  const sizes = sizePanels(fit, next, shelf, constants);
  if (sizes.length < 2 || contradicts(sizes, next)) return [];
  const found = sizes.map((panel) => asSeen(panel, closes));
  const mm = (value: number): string => millimetres(value, reader.locale);
  const panels = found.map((panel) => {
    const note = panel.chosen ? 'chosen' : panel.mayEndLeft ? 'left' : 'none';
    const values = { seal: mm(panel.stack.sealMm), shim: panel.stack.shimMm > 0 ? mm(panel.stack.shimMm) : 'none', at: clockOf(panel.degrees), low: clockOf(panel.highDegrees), high: clockOf(panel.lowDegrees), note, closes: closes ?? 'right', n: panel.shelf?.onHand ?? 0, shelf: panel.shelf ? 'known' : 'none' };
    return { panel, size: shortStack(reader, panel.stack), points: say('sizes.points', values), note: note === 'none' ? '' : say('sizes.note', values), shelf: panel.shelf ? say('sizes.shelf', values) : '', alt: say('sizes.alt.one', values) };
  });
  return [{ name: `sizes-group-${group}.png`, alt: say('sizes.alt', { group, sizes: panels.map(({ alt }) => alt).join('; ') }), draw: () => toPng(sizesSvg({ title: say('sizes.title', { group }), you: say('drawing.you'), panels })) }];
};
