import type { Picture } from '../chat/message.ts';
import { instant } from '../time/instant.ts';
import { shortDate } from '../words/format.ts';
import { hourOfDegrees } from './clock-hour.ts';
import { turned } from './closing.ts';
import type { SealConstants } from './constants.ts';
import { creepWeeks, type Path } from './drift-belief.ts';
import { driftForecast } from './drift.ts';
import type { Show } from './look-views.ts';
import { INK, stroke, svg, text, toPng } from './picture.ts';
import { driftReadingsOf, stateReadIn, type GroupHistory } from './record-evidence.ts';
import { asDrawn, type SealForecast } from './record-forecast.ts';

const WIDTH = 720;
const HEIGHT = 470;
const EDGE = { left: 150, right: 24, top: 78, bottom: 70 };
const DAY = 86_400_000;
/** How far ahead the band is drawn, in days. */
const AHEAD = 120;
const LEFTMOST = -45;
const RIGHTMOST = 65;
const STOP_SHOWN = 55;

export type DriftDrawing = {
  readonly title: string;
  readonly labels: { readonly left: string; readonly straight: string; readonly right: string; readonly limit: string; readonly today: string; readonly first: string; readonly last: string };
  readonly fromDays: number;
  readonly nowDays: number;
  readonly limitDegrees: number;
  readonly readings: readonly { readonly ageDays: number; readonly degrees: number }[];
  readonly band: readonly { readonly ageDays: number; readonly low: number; readonly middle: number; readonly high: number }[];
};

const quantileOf = (values: readonly { readonly at: number; readonly weight: number }[], share: number): number => {
  let sum = 0;
  for (const { at, weight } of values) {
    sum += weight;
    if (sum >= share) return at;
  }
  return values.at(-1)?.at ?? 0;
};

/** Where the handle is expected, with its 80 % range, from now on. */
export const bandOf = (paths: readonly Path[], nowDays: number, constants: SealConstants): DriftDrawing['band'] =>
  Array.from({ length: 9 }, (_, i) => nowDays + (i * AHEAD) / 8).map((ageDays) => {
    const values = paths.map(({ start, rate, quickShare, weight }) => ({ at: start + rate * creepWeeks(ageDays, quickShare, constants.wear), weight })).toSorted((a, b) => a.at - b.at);
    return { ageDays, low: quantileOf(values, 0.1), middle: quantileOf(values, 0.5), high: quantileOf(values, 0.9) };
  });

export const driftSvg = (drawing: DriftDrawing): string => {
  const until = drawing.nowDays + AHEAD;
  const x = (days: number): number => EDGE.left + ((days - drawing.fromDays) / (until - drawing.fromDays)) * (WIDTH - EDGE.left - EDGE.right);
  const y = (degrees: number): number => EDGE.top + ((RIGHTMOST - Math.min(RIGHTMOST, Math.max(LEFTMOST, degrees))) / (RIGHTMOST - LEFTMOST)) * (HEIGHT - EDGE.top - EDGE.bottom);
  const point = (days: number, degrees: number): string => `${x(days).toFixed(1)} ${y(degrees).toFixed(1)}`;
  const { band, labels } = drawing;
  const high = band.map(({ ageDays, high: at }) => point(ageDays, at));
  const low = band.map(({ ageDays, low: at }) => point(ageDays, at)).toReversed();
  const right = WIDTH - EDGE.right;
  return svg(WIDTH, HEIGHT, [
    text(24, 44, drawing.title, { size: 32, anchor: 'start', bold: true }),
    ...([['left', -30], ['straight', 0], ['right', 30]] as const).flatMap(([word, at]) => [stroke(`M${EDGE.left} ${y(at)}H${right}`, '#d9d9d9', 2), text(EDGE.left - 12, y(at) + 9, labels[word], { size: 26, anchor: 'end' })]),
    `<path d="M${[...high, ...low].join('L')}Z" fill="${INK.band}" stroke="${INK.bandEdge}" stroke-width="3"/>`,
    stroke(`M${band.map(({ ageDays, middle }) => point(ageDays, middle)).join('L')}`, INK.seal, 5),
    stroke(`M${EDGE.left} ${y(drawing.limitDegrees)}H${right}`, INK.danger, 4, 'stroke-dasharray="16 8"'),
    text(EDGE.left + 8, y(drawing.limitDegrees) - 10, labels.limit, { size: 26, anchor: 'start', fill: INK.danger, bold: true }),
    stroke(`M${x(drawing.nowDays).toFixed(1)} ${EDGE.top}V${HEIGHT - EDGE.bottom}`, INK.quiet, 3, 'stroke-dasharray="3 7"'),
    stroke(`M${EDGE.left} ${EDGE.top}V${HEIGHT - EDGE.bottom}H${right}`, INK.line, 3),
    ...drawing.readings.map(({ ageDays, degrees }) => `<circle cx="${x(ageDays).toFixed(1)}" cy="${y(degrees).toFixed(1)}" r="9" fill="${INK.text}"/>`),
    text(x(drawing.nowDays), HEIGHT - 26, labels.today, { size: 26, bold: true }),
    ...(x(drawing.nowDays) - EDGE.left > 190 ? [text(EDGE.left, HEIGHT - 26, labels.first, { size: 26, anchor: 'start' })] : []),
    text(right, HEIGHT - 26, labels.last, { size: 26, anchor: 'end' }),
  ]);
};

type Drawn = { readonly group: number; readonly history: GroupHistory; readonly forecast: SealForecast };

/** The handle of one group over time; none while it was read less than twice. */
export const driftPictureOf = ({ say, reader }: Show, { group, history, forecast }: Drawn, given: SealConstants, now: number): readonly Picture[] => {
  const constants = asDrawn(given);
  const { drift } = forecast;
  const readings = driftReadingsOf(history, stateReadIn(history.readings), now);
  if (!drift || readings.length < 2) return [];
  const { changeNowDegrees } = constants.handle;
  const shown = readings.map(({ ageDays, at }) => ({ ageDays, degrees: at.kind === 'stop' ? STOP_SHOWN : at.degrees }));
  const last = shown.at(-1)?.degrees ?? 0;
  const ahead = driftForecast(drift.paths, drift.ageDays, changeNowDegrees, constants).medianAgeDays - drift.ageDays;
  const date = (age: number): string => shortDate(instant(Math.round(now + (age - drift.ageDays) * DAY)), reader).replace(/^\S+ /, '');
  const hour = hourOfDegrees(turned(last, history.closes));
  const alt = say('look.drift.alt', { group, n: readings.length, last: `${Math.floor(hour)}:${String(Math.round((hour % 1) * 60)).padStart(2, '0')}`, limit: ahead > 365 ? 'none' : date(drift.ageDays + Math.max(0, ahead)) });
  const [left, right] = [say('look.drift.left'), say('look.drift.right')];
  const labels = { left: history.closes === 'left' ? right : left, straight: say('look.drift.straight'), right: history.closes === 'left' ? left : right, limit: say('look.drift.limit'), today: say('look.drift.today') };
  return [{
    name: `handle-group-${group}.png`, alt,
    draw: () => {
      const fromDays = Math.min(shown[0]?.ageDays ?? 0, drift.ageDays - 14);
      return toPng(driftSvg({ title: say('look.drift.title', { group }), labels: { ...labels, first: date(fromDays), last: date(drift.ageDays + AHEAD) }, fromDays, nowDays: drift.ageDays, limitDegrees: changeNowDegrees, readings: shown, band: bandOf(drift.paths, drift.ageDays, constants) }));
    },
  }];
};
