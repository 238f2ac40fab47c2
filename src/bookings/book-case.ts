import { calendarOf } from '../cafe/calendar.ts';
import { techniciansOf, type Cafe, type Technician } from '../cafe/records.ts';
import type { Pressed } from '../cafe/subject.ts';
import type { CaseRecord } from '../faults/records.ts';
import type { Tx } from '../store/store.ts';
import { days, hours, later, type Instant } from '../time/instant.ts';
import { parseLocalDate } from '../time/local-date.ts';
import { roundOf } from './booking-state.ts';
import { quietOn } from './cafe-times.ts';
import type { Desk } from './desk.ts';
import { needOf, troubleOf, type WorksOf } from './need.ts';
import { bookingOf, bookingOfCase, changeBooking, linkedIn, type BookingRecord } from './records.ts';
import type { Span } from './span.ts';

export type BookCaseNeeds = { readonly desk: Desk; readonly worksOf: (tx: Tx, technician: Technician | undefined, cafe: Cafe, now: Instant) => Promise<WorksOf> };

/** A danger suits at any hour; "any time" of a quieter trouble looks further. */
const AT_ONCE = hours(48);
const ANY_TIME = days(14);

/** When it suits, from the dates pressed: "now", or dates whose quiet times are meant. */
const suitsOf = (cafe: Cafe, dates: readonly string[], now: Instant): readonly Span[] => {
  if (dates.includes('now')) return [{ start: now, end: later(now, AT_ONCE) }];
  const found = dates.flatMap((text) => {
    const date = parseLocalDate(text);
    return date === null ? [] : quietOn(calendarOf(cafe), cafe.zone, date, now);
  });
  return found.length > 0 ? found : [{ start: now, end: later(now, ANY_TIME) }];
};

/** Opens the booking of a case for the times its owner pressed; a case that comes back goes on with the booking it had. */
export const createBookCase = ({ desk, worksOf }: BookCaseNeeds) => {
  /** It goes on with whoever knows it. */
  const reopened = async (tx: Tx, aCase: CaseRecord, suits: readonly Span[], now: Instant): Promise<BookingRecord | undefined> => {
    const before = await bookingOfCase(tx, aCase.id);
    if (!before) return undefined;
    const { applied, row } = await desk.applyIn(tx, before, { kind: 'reopen', why: before.state === 'finished' ? 'came back' : 'still needed', round: roundOf(bookingOf(before)) }, now);
    if (applied.kind !== 'changed') return undefined;
    await changeBooking(tx, row.id, { booking: JSON.stringify({ ...bookingOf(row), suits }) });
    return row;
  };

  return async (tx: Tx, aCase: CaseRecord, cafe: Cafe, pressed: Pressed): Promise<BookingRecord> => {
    const suits = suitsOf(cafe, pressed.press.ids.slice(1), pressed.now);
    const again = await reopened(tx, aCase, suits, pressed.now);
    if (again) return again;
    const technicians = linkedIn(await techniciansOf(tx, cafe.id));
    const works = await worksOf(tx, technicians[0], cafe, pressed.now);
    const need = await needOf(tx, await troubleOf(tx, cafe, aCase, undefined), technicians, works, pressed.now);
    return desk.open(tx, { cafe: cafe.id, caseId: aCase.id, dangerId: null, machine: aCase.machine, about: 'fault', need, suits, by: { id: pressed.by.id, name: pressed.by.name }, ...(technicians.length > 0 ? { answered: pressed.by.id } : {}) }, pressed.now);
  };
};
