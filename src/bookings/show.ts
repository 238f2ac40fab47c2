import type { Instant } from '../time/instant.ts';
import { daysBetween } from '../time/local-date.ts';
import { dateAt } from '../time/wall-time.ts';
import type { Say } from '../words/catalogue.ts';
import { clockTime, formatLocale, LINE_WIDTH, shortDate, shortened, type Reader } from '../words/format.ts';
import type { Span } from './span.ts';

/** Who reads, on whose wall clock (the café's), and when. */
export type Show = { readonly say: Say; readonly reader: Reader; readonly now: Instant };

export const LABEL_WIDTH = 20;

const daysAway = (at: Instant, { reader, now }: Show): number => daysBetween(dateAt(now, reader.zone), dateAt(at, reader.zone));

const shortDay = (at: Instant, { reader }: Show): string => new Intl.DateTimeFormat(formatLocale(reader.locale), { weekday: 'short', timeZone: reader.zone }).format(at);

/** The day as one says it now: "today", "tomorrow", "Thu", and from a week on "Thu 18 Mar". */
export const dayText = (at: Instant, show: Show): string => {
  const away = daysAway(at, show);
  if (away === 0) return show.say('booking.day.today');
  if (away === 1) return show.say('booking.day.tomorrow');
  return away > 1 && away < 7 ? shortDay(at, show) : shortDate(at, show.reader);
};

/** As one agrees on a time: "today, 15:30", "tomorrow, Wed, 15:30", "Thu 11 Mar, 15:30". */
export const whenText = (at: Instant, show: Show): string => {
  const time = clockTime(at, show.reader);
  const away = daysAway(at, show);
  if (away === 0) return show.say('booking.when.today', { time });
  if (away === 1) return show.say('booking.when.tomorrow', { day: shortDay(at, show), time });
  return show.say('booking.when.date', { date: shortDate(at, show.reader), time });
};

/** As it still holds when it is read again another day: "Wed 10 Mar, 15:30". */
export const dateText = (at: Instant, show: Show): string => show.say('booking.when.date', { date: shortDate(at, show.reader), time: clockTime(at, show.reader) });

/** Short enough for a button: "today 15:30", "Wed 15:30", "18 Mar 15:30". */
export const whenLabel = (at: Instant, show: Show): string => {
  const away = daysAway(at, show);
  const time = clockTime(at, show.reader);
  if (away === 0) return show.say('booking.label.today', { time });
  if (away > 0 && away < 7) return show.say('booking.label.day', { day: shortDay(at, show), time });
  return show.say('booking.label.day', { day: shortDate(at, show.reader).replace(/^\S+ /, ''), time });
};

/** A stretch of a day: "today, 15:00 to 17:00". */
export const stretchText = (span: Span, show: Show): string => show.say('booking.stretch', { day: dayText(span.start, show), from: clockTime(span.start, show.reader), to: clockTime(span.end, show.reader) });

/** The first of these texts that fits a line; the last is cut. */
export const fitted = (...texts: readonly string[]): string => texts.find((text) => text.length <= LINE_WIDTH) ?? shortened(texts.at(-1) ?? '', LINE_WIDTH);

/** A label that fits a button. */
export const label = (text: string): string => shortened(text, LABEL_WIDTH);

/** Time on the technician's own clock where it shows another one than the café's; null where both show the same. */
export const ownClock = (at: Instant, zone: string | null, { reader }: Show): string | null => {
  if (zone === null) return null;
  const own = clockTime(at, { locale: reader.locale, zone });
  const same = own === clockTime(at, reader) && dateAt(at, zone) === dateAt(at, reader.zone);
  return same ? null : own;
};

/** `15`, or `15:30` where the hour is not whole. */
const shortClock = (at: Instant, { reader }: Show): string => clockTime(at, reader).replace(/^0?(\d+):00$/, '$1');

/** A stretch's hours alone: "15 to 17". */
export const hoursText = (span: Span, show: Show): string => show.say('booking.hours', { from: shortClock(span.start, show), to: shortClock(span.end, show) });

/** A day beside others: "today", else the weekday, since a column of buttons says "Wed" too. */
export const dayName = (at: Instant, show: Show): string => (daysAway(at, show) === 0 ? show.say('booking.day.today') : daysAway(at, show) < 7 ? shortDay(at, show) : shortDate(at, show.reader));
