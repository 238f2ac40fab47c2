import { type Instant, later, minutes as minutesMs } from '../time/instant.ts';
import { type DayNumber, type LocalDate, toDay } from '../time/local-date.ts';
import {
  type LocalTime,
  dayAt,
  instantOfDay,
  instantOnDay,
  minutesOf,
} from '../time/wall-time.ts';
import {
  type CafeHours,
  type DaySpans,
  type Span,
  type Week,
  closesOnDay,
  isWithin,
  opensOnDay,
  plannedOn,
  spansOnDay,
} from './hours.ts';

/**
 * A time of day as the café speaks of it. `minutes` at most 480. `cold` is for work on a cold
 * machine: before the first opening, or at `onClosedDay` when the machine stays off anyway.
 */
export type Moment =
  | { readonly kind: 'before-opening'; readonly minutes: number }
  | { readonly kind: 'at-closing' }
  | { readonly kind: 'quiet' }
  | { readonly kind: 'clock'; readonly time: LocalTime }
  | { readonly kind: 'cold'; readonly minutes: number; readonly onClosedDay: LocalTime };

// Common practice, no source: between the lunch and the after-work trade.
const USUAL_QUIET: Span = { from: 15 * 60, to: 17 * 60 };
const WORTH_STARTING_MINUTES = 15;

const overlap = (a: Span, b: Span): Span => ({
  from: Math.max(a.from, b.from),
  to: Math.min(a.to, b.to),
});

const lengthOf = ({ from, to }: Span): number => to - from;

const without = (span: Span, holes: DaySpans): DaySpans =>
  holes.reduce<DaySpans>(
    (left, hole) =>
      left.flatMap((one) =>
        [
          { from: one.from, to: Math.min(one.to, hole.from) },
          { from: Math.max(one.from, hole.to), to: one.to },
        ].filter((rest) => rest.to > rest.from),
      ),
    [span],
  );

const middleOf = ({ from, to }: Span): number => Math.floor((from + to) / 10) * 5;

const longest = (spans: DaySpans): Span | null =>
  spans.reduce<Span | null>(
    (best, one) => (best === null || lengthOf(one) > lengthOf(best) ? one : best),
    null,
  );

/** Minutes after midnight at which the quiet hour of an open day begins. */
const quietMinute = (cafe: CafeHours, day: DayNumber, open: DaySpans): number | null => {
  const said = cafe.quiet === null ? [] : plannedOn(cafe.quiet, day);
  const rush = plannedOn(cafe.rush, day);
  const calm = open.flatMap((span) => without(span, rush));
  const inBoth = (said.length > 0 ? said : [USUAL_QUIET]).flatMap((quiet) =>
    calm.map((span) => overlap(quiet, span)),
  );
  const first = inBoth.find((span) => lengthOf(span) >= WORTH_STARTING_MINUTES);
  if (first !== undefined) return first.from;
  const longestCalm = longest(calm) ?? longest(open);
  return longestCalm === null ? null : middleOf(longestCalm);
};

const turns = new WeakMap<Week, number>();

const findTurn = ({ days }: Week): number => {
  const spans = days.flat();
  const latest = Math.max(...spans.map(({ to }) => to - 1440));
  const earliest = Math.min(...spans.map(({ from }) => from));
  return latest < earliest ? latest : -1;
};

/** Clock times up to this minute belong to the evening before; negative if no evening is so long. */
const turnOf = (week: Week): number => {
  const known = turns.get(week);
  if (known !== undefined) return known;
  const turn = findTurn(week);
  turns.set(week, turn);
  return turn;
};

const clockOn = (cafe: CafeHours, day: DayNumber, time: LocalTime): Instant => {
  const minute = minutesOf(time);
  return instantOnDay(day, minute <= turnOf(cafe.week) ? minute + 1440 : minute, cafe.zone);
};

/**
 * `by` minutes before `at`, which the dial shows as `wall`, as time passes; but not on the date
 * before because of a clock change.
 */
const ahead = (cafe: CafeHours, day: DayNumber, at: Instant, wall: number, by: number): Instant => {
  const early = later(at, -minutesMs(by));
  const begin = instantOfDay(day, 0, cafe.zone);
  return wall - by >= 0 && early < begin ? begin : early;
};

const beforeOpening = (cafe: CafeHours, day: DayNumber, by: number): Instant | null => {
  const opens = opensOnDay(cafe, day);
  const first = spansOnDay(cafe, day)[0];
  return opens === null || first === undefined ? null : ahead(cafe, day, opens, first.from, by);
};

const cleaningOn = (cafe: CafeHours, day: DayNumber): Instant | null => {
  const closes = closesOnDay(cafe, day);
  const last = spansOnDay(cafe, day).at(-1);
  if (closes === null || last === undefined) return null;
  const start = ahead(cafe, day, closes, last.to, cafe.cleaningMinutes);
  const opens = instantOnDay(day, last.from, cafe.zone);
  return start > opens ? start : opens;
};

const quietOn = (cafe: CafeHours, day: DayNumber): Instant | null => {
  const minute = quietMinute(cafe, day, spansOnDay(cafe, day));
  return minute === null ? null : instantOnDay(day, minute, cafe.zone);
};

/** As `momentOn`, on a day number. */
export const momentOnDay = (cafe: CafeHours, day: DayNumber, moment: Moment): Instant | null => {
  switch (moment.kind) {
    case 'before-opening':
      return beforeOpening(cafe, day, moment.minutes);
    case 'at-closing':
      return cleaningOn(cafe, day);
    case 'quiet':
      return quietOn(cafe, day);
    case 'clock':
      return clockOn(cafe, day, moment.time);
    case 'cold':
      return beforeOpening(cafe, day, moment.minutes) ?? clockOn(cafe, day, moment.onClosedDay);
  }
};

/**
 * When a moment falls on a business date; null if it hangs on opening hours and the date has none.
 * `at-closing` is when cleaning starts. A clock time within or before the hours past midnight
 * belongs to the evening: 01:00 on a Friday that closes at 02:00 is on the calendar's Saturday.
 */
export const momentOn = (cafe: CafeHours, date: LocalDate, moment: Moment): Instant | null =>
  momentOnDay(cafe, toDay(date), moment);

export const isRushAt = (cafe: CafeHours, at: Instant): boolean =>
  isWithin((day) => plannedOn(cafe.rush, day), cafe.zone, at);

/** The end of the rush that is on, or the moment itself if there is none. */
export const afterRush = (cafe: CafeHours, at: Instant): Instant => {
  const { day } = dayAt(at, cafe.zone);
  const ends = [day - 1, day].flatMap((one) =>
    plannedOn(cafe.rush, one)
      .filter(({ from }) => instantOnDay(one, from, cafe.zone) <= at)
      .map(({ to }) => instantOnDay(one, to, cafe.zone)),
  );
  return ends.reduce((latest, end) => (end > latest ? end : latest), at);
};
