import { nextClosure } from '../cafe/closures.ts';
import type { CafeHours } from '../cafe/hours.ts';
import { nextDue, type Repeat } from '../cafe/hours-due.ts';
import { momentOnDay, type Moment } from '../cafe/hours-moments.ts';
import { days, hours, instant, later, type Instant } from '../time/instant.ts';
import type { LocalDate } from '../time/local-date.ts';
import { parseRule } from '../time/recurrence-text.ts';
import type { Rule } from '../time/recurrence-rule.ts';
import { dateAt, dayAt } from '../time/wall-time.ts';

export type Around = 'before-closure' | 'after-closure' | 'before-cold';

/** Everything that can make a duty due; what is not there does not. */
export type Grounds = {
  readonly moment: Moment;
  readonly onClosed: Repeat['onClosed'];
  readonly calendar?: Repeat | undefined;
  /** The series begins with this day, which is not one of its dates itself. */
  readonly calendarFrom?: Instant;
  /** The day on which it was used enough. */
  readonly use?: LocalDate | null;
  readonly forecast?: Instant | null;
  readonly around?: Around;
  /** When the café came back from a long pause: that ends a closure like any other. */
  readonly resumedAt?: Instant | null;
  /** The next job that needs the machine cold. */
  readonly nextCold?: Instant | null;
  /** When it last stood on a list, and when it was last done. */
  readonly firedAt: Instant | null;
  readonly doneAt: Instant | null;
};

const daily = (): Rule => {
  const parsed = parseRule('FREQ=DAILY');
  if (!parsed.ok) throw new Error('FREQ=DAILY is a rule');
  return parsed.rule;
};
const DAILY = daily();

/** What nobody did when it was due by use or forecast comes again after so many days, not the next day. */
const AGAIN_DAYS = 7;

/** A new part is not due again within so many days, even where nobody wrote down that it went in. Assumed. */
const SETTLED_DAYS = 60;

/** Done so long before its list counts for it. */
const EARLY_MS = hours(2);

/** The first time after `after` at which the duty's moment falls on this date or later. */
export const fromDateOn = ({ moment, onClosed }: Pick<Grounds, 'moment' | 'onClosed'>, start: LocalDate, cafe: CafeHours, after: Instant): Instant | null =>
  nextDue({ rule: DAILY, start, moment, onClosed }, cafe, after)?.at ?? null;

/** When what stood on a list and was not done comes again. */
export const comesAgain = (grounds: Pick<Grounds, 'moment' | 'onClosed'>, cafe: CafeHours, fired: Instant): Instant | null =>
  fromDateOn(grounds, dateAt(later(fired, days(AGAIN_DAYS)), cafe.zone), cafe, later(fired, days(AGAIN_DAYS - 1)));

const aroundDue = (grounds: Grounds, cafe: CafeHours, after: Instant): Instant | null => {
  const { day } = dayAt(after, cafe.zone);
  if (grounds.around === 'before-cold') {
    if (grounds.nextCold == null) return null;
    const cold = dayAt(grounds.nextCold, cafe.zone).day;
    // The last closing before the cold job, which may lie before a closed day.
    for (let back = 1; back <= 7; back += 1) {
      const at = momentOnDay(cafe, cold - back, grounds.moment);
      if (at !== null && at < grounds.nextCold) return at > after ? at : null;
    }
    return null;
  }
  const { resumedAt } = grounds;
  if (grounds.around === 'after-closure' && resumedAt != null && (grounds.firedAt === null || grounds.firedAt < resumedAt)) return fromDateOn(grounds, dateAt(resumedAt, cafe.zone), cafe, after > resumedAt ? after : resumedAt);
  for (let from = day - 1, tries = 0; tries < 3; tries += 1) {
    const closure = nextClosure(cafe, from);
    if (closure === null) return null;
    const at = momentOnDay(cafe, grounds.around === 'before-closure' ? closure.lastOpen : closure.reopens, grounds.moment);
    if (at !== null && at > after) return at;
    from = closure.reopens;
  }
  return null;
};

/** When a duty is next due after `after`: by calendar, by use, by forecast or around something, whichever comes first. */
export const dueNext = (grounds: Grounds, cafe: CafeHours, after: Instant): Instant | null => {
  const waiting = grounds.firedAt !== null && (grounds.doneAt === null || grounds.doneAt < grounds.firedAt - EARLY_MS) ? comesAgain(grounds, cafe, grounds.firedAt) : null;
  const settled = grounds.doneAt === null ? null : later(grounds.doneAt, days(SETTLED_DAYS));
  const least = [after, ...(waiting === null ? [] : [later(waiting, -1)])].reduce((a, b) => (a > b ? a : b));
  const on = (date: LocalDate | null, floor: Instant | null): readonly Instant[] => {
    if (date === null) return [];
    const at = fromDateOn(grounds, date, cafe, floor !== null && floor > least ? floor : least);
    return at === null ? [] : [at];
  };
  const begun = grounds.calendarFrom === undefined ? least : later(grounds.calendarFrom, days(SETTLED_DAYS));
  const byRule = grounds.calendar ? nextDue(grounds.calendar, cafe, begun > least ? begun : least)?.at : undefined;
  const all = [
    ...(byRule === undefined ? [] : [byRule]),
    ...on(grounds.use ?? null, null),
    // Done: what went in is asked, and the forecast follows the answer.
    ...on(grounds.forecast == null ? null : dateAt(grounds.forecast, cafe.zone), settled),
    ...(grounds.around === undefined ? [] : [aroundDue(grounds, cafe, after)].flatMap((at) => (at === null ? [] : [at]))),
  ];
  return all.length === 0 ? null : instant(Math.min(...all));
};

