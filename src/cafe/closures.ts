import type { DayNumber } from '../time/local-date.ts';
import { isOpenDay, LONGEST_CLOSURE_DAYS, openDayFrom, openDayUpTo, type CafeHours } from './hours.ts';

/** So long the machine stands and nobody comes, not even for a cold job; no café is shut so long every week. Assumed. */
export const LONG_CLOSURE_DAYS = 7;

/** Closed days in a row: the last open day before and the first one after. */
export type Closure = { readonly lastOpen: DayNumber; readonly reopens: DayNumber };

/** The closure of at least so many days that ends after `day`; null if there is none in the next 400 days. */
export const nextClosure = (cafe: CafeHours, day: DayNumber, least = LONG_CLOSURE_DAYS): Closure | null => {
  let open = openDayUpTo(cafe, day) ?? openDayFrom(cafe, day);
  while (open !== null && open <= day + LONGEST_CLOSURE_DAYS) {
    const next = openDayFrom(cafe, open + 1);
    if (next === null) return null;
    if (next - open - 1 >= least && next > day) return { lastOpen: open, reopens: next };
    open = next;
  }
  return null;
};

/** Whether a closed day lies in a closure of at least so many days: nobody is there, not even for a cold job. */
export const isAway = (cafe: CafeHours, day: DayNumber, least = LONG_CLOSURE_DAYS): boolean => {
  if (isOpenDay(cafe, day)) return false;
  let first = day;
  while (day - first < least && !isOpenDay(cafe, first - 1)) first -= 1;
  let last = day;
  while (last - first < least && !isOpenDay(cafe, last + 1)) last += 1;
  return last - first + 1 >= least;
};
