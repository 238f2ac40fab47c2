import { openTimesOn, plannedOn, type CafeHours, type OpenTime } from '../cafe/hours.ts';
import type { Instant } from '../time/instant.ts';
import { fromDay, type DayNumber } from '../time/local-date.ts';
import { dayAt, instantOnDay } from '../time/wall-time.ts';
import type { TradeHour } from './model.ts';

const HOUR = 3_600_000;
const DAYS = [-1, 0, 1, 2, 3] as const;

type Piece = { readonly from: number; readonly to: number; readonly rush: boolean };

/** One opening cut where the rush begins and ends. */
const cut = ({ opens, closes }: OpenTime, rushes: readonly { readonly from: number; readonly to: number }[]): readonly Piece[] => {
  const edges = [...new Set([opens, closes, ...rushes.flatMap(({ from, to }) => [from, to]).filter((at) => at > opens && at < closes)])].sort((a, b) => a - b);
  return edges.slice(1).flatMap((to, i) => {
    const from = edges[i] ?? to;
    return to > from ? [{ from, to, rush: rushes.some((rush) => rush.from <= from && to <= rush.to) }] : [];
  });
};

const hoursOf = (pieces: readonly Piece[]): number => pieces.reduce((sum, { from, to }) => sum + (to - from) / HOUR, 0);

/** Drinks an hour in the rush and beside it; the same all day where the café has not told of its rush. */
const rates = (pieces: readonly Piece[], drinksDay: number, drinksHour: number | undefined): { readonly rush: number; readonly calm: number } => {
  const rush = hoursOf(pieces.filter((piece) => piece.rush));
  const calm = hoursOf(pieces) - rush;
  const even = rush + calm > 0 ? drinksDay / (rush + calm) : 0;
  if (drinksHour === undefined || rush === 0 || calm <= 0) return { rush: even, calm: even };
  const busy = Math.min(Math.max(drinksHour, even), drinksDay / rush);
  return { rush: busy, calm: (drinksDay - busy * rush) / calm };
};

const piecesOn = (hours: CafeHours, day: DayNumber): readonly Piece[] => {
  const rushes = plannedOn(hours.rush, day).map(({ from, to }) => ({ from: instantOnDay(day, from, hours.zone) as number, to: instantOnDay(day, to, hours.zone) as number }));
  return openTimesOn(hours, fromDay(day)).flatMap((open) => cut(open, rushes));
};

/** The coming openings with the drinks made in them; a day's drinks stay its drinks, more of them fall into the rush. */
export const tradeHours = (hours: CafeHours, trade: { readonly drinksDay: number; readonly drinksHour?: number | undefined }, now: Instant): readonly TradeHour[] => {
  const { day } = dayAt(now, hours.zone);
  return DAYS.flatMap((ahead) => {
    const pieces = piecesOn(hours, day + ahead);
    const rate = rates(pieces, trade.drinksDay, trade.drinksHour);
    return pieces
      .filter(({ to }) => to > now)
      .map(({ from, to, rush }) => ({ startsIn: (Math.max(from, now) - now) / 60_000, minutes: (to - Math.max(from, now)) / 60_000, coffeesAnHour: rush ? rate.rush : rate.calm }));
  });
};
