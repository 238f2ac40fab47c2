import { openTimesOn, plannedOn, type CafeHours, type DaySpans } from '../cafe/hours.ts';
import { later, type Instant } from '../time/instant.ts';
import { fromDay, toDay, weekdayOf, type DayNumber, type LocalDate } from '../time/local-date.ts';
import { dayAt, instantOnDay } from '../time/wall-time.ts';
import { intersect, subtract, tidy, type Span } from './span.ts';

/** Assumed (common practice, no source): between lunch and the after-work trade, where a café has said nothing. */
export const assumedQuiet: DaySpans = [{ from: 15 * 60, to: 17 * 60 }];
/** Assumed: when somebody is there where the opening hours are not known. */
export const assumedAccess: DaySpans = [{ from: 9 * 60, to: 17 * 60 }];
/** Assumed: when a technician works who has said nothing, Monday to Friday. */
export const assumedWork: DaySpans = [{ from: 8 * 60, to: 18 * 60 }];

export type Week7 = readonly [DaySpans, DaySpans, DaySpans, DaySpans, DaySpans, DaySpans, DaySpans];
export const assumedWorkWeek: Week7 = [assumedWork, assumedWork, assumedWork, assumedWork, assumedWork, [], []];

const onDay = (day: DayNumber, spans: DaySpans, zone: string): readonly Span[] =>
  spans.map(({ from, to }) => ({ start: instantOnDay(day, from, zone), end: instantOnDay(day, to, zone) })).filter(({ start, end }) => start < end);

const eachDay = (zone: string, from: Instant, days: number, spansOf: (day: DayNumber) => readonly Span[]): readonly Span[] => {
  const { day } = dayAt(from, zone);
  const all = Array.from({ length: days + 1 }, (_, i) => day - 1 + i).flatMap(spansOf);
  return tidy(all).filter(({ end }) => end > from);
};

/** When the café is open, from `from` on for that many days; each stretch whole, the one under way too. */
export const openSpans = (hours: CafeHours | null, zone: string, from: Instant, days: number): readonly Span[] =>
  eachDay(zone, from, days, (day) => (hours === null ? onDay(day, assumedAccess, zone) : openTimesOn(hours, fromDay(day)).map(({ opens, closes }) => ({ start: opens, end: closes }))));

const quietOnDay = (hours: CafeHours, day: DayNumber): readonly Span[] => {
  const said = hours.quiet === null ? [] : plannedOn(hours.quiet, day);
  const open = openTimesOn(hours, fromDay(day)).map(({ opens, closes }) => ({ start: opens, end: closes }));
  const calm = subtract(open, onDay(day, plannedOn(hours.rush, day), hours.zone));
  return intersect(calm, onDay(day, said.length > 0 ? said : assumedQuiet, hours.zone));
};

/** The café's quiet hours, out of its rush and within its opening hours. */
export const quietSpans = (hours: CafeHours | null, zone: string, from: Instant, days: number): readonly Span[] =>
  hours === null ? openSpans(null, zone, from, days) : eachDay(zone, from, days, (day) => quietOnDay(hours, day));

/** The quiet stretches of one date that are not over; empty on a closed one. */
export const quietOn = (hours: CafeHours | null, zone: string, date: LocalDate, now: Instant): readonly Span[] => {
  const day = toDay(date);
  const all = hours === null ? onDay(day, assumedAccess, zone) : quietOnDay(hours, day);
  return all.filter(({ end }) => end > now);
};

/** Hours of work by weekday, in the zone of who works. */
export const workSpans = (week: Week7, zone: string, from: Instant, days: number): readonly Span[] => eachDay(zone, from, days, (day) => onDay(day, week[weekdayOf(day) - 1] ?? [], zone));

/** Too short a rest of a stretch to begin a visit in it. Assumed. */
export const worthOffering = 45 * 60_000;

export type QuietDay = { readonly date: LocalDate; readonly span: Span };

/**
 * The first quiet stretches long enough for somebody to come, one a date, at most `most`; of dates on which the
 * technician works, where there are any.
 */
export const nextQuiet = (hours: CafeHours | null, zone: string, now: Instant, most: number, works?: readonly Span[]): readonly QuietDay[] => {
  const reachable = quietSpans(hours, zone, now, 14).filter(({ end }) => end >= later(now, worthOffering));
  const dated = reachable.map((span) => ({ date: fromDay(dayAt(span.start, zone).day), span }));
  const each = dated.filter(({ date }, i) => dated.findIndex((other) => other.date === date) === i);
  const kept = works === undefined ? each : each.filter(({ span }) => intersect([span], works).some(({ start, end }) => end - start >= worthOffering));
  return (kept.length > 0 ? kept : each).slice(0, most);
};
