import { cafeById, techniciansOf } from '../cafe/records.ts';
import { quietHour } from '../cafe/live.ts';
import { mayIn } from '../cafe/rights.ts';
import type { Here } from '../cafe/subject.ts';
import { caseById, changeCase, type CaseRecord } from '../faults/records.ts';
import type { Ids } from '../store/id.ts';
import type { Store, Tx } from '../store/store.ts';
import { redraw } from '../store/post.ts';
import { setTimer, stopTimer } from '../store/timers.ts';
import { read, transact } from '../store/transact.ts';
import type { Instant } from '../time/instant.ts';
import { apply, openBooking } from './booking.ts';
import { wakeAt } from './booking-clock.ts';
import type { Applied, BookingEvent, Effect } from './booking-event.ts';
import { roundOf, type Booking } from './booking-state.ts';
import type { Span } from './span.ts';
import { bookingById, bookingOf, bookingsWith, cafesToHold, changeBooking, columnsOf, entriesOfPerson, insertBooking, linkedIn, technicianById, type BookingRecord } from './records.ts';
import { placeFor } from './roads.ts';
import { tellAll, technicianKey } from './told.ts';
import type { Urgency } from './urgency.ts';

export const CLOCK = 'booking.clock';

export type DeskNeeds = {
  readonly store: Store;
  readonly ids: Ids;
  /** Brings everything that shows a case up to date. */
  readonly refreshCase: (tx: Tx, caseId: string, now: Instant) => Promise<void>;
};

export type NewBooking = {
  readonly cafe: string;
  readonly caseId: string | null;
  readonly dangerId: string | null;
  readonly machine: string | null;
  readonly about: string;
  readonly need: Urgency;
  readonly suits: readonly Span[];
  readonly by: { readonly id: string | null; readonly name: string };
  /** An owner who is answered at once and needs no message of their own. */
  readonly answered?: string;
};

/** The message somebody pressed on, and who of the café it was: when it is not the owner, the café is told whose press it was. */
export type PressedBy = { readonly on: string | undefined; readonly cafe?: Here['by'] };

export type Done = { readonly applied: Applied; readonly row: BookingRecord };

export type Desk = {
  readonly open: (tx: Tx, what: NewBooking, now: Instant) => Promise<BookingRecord>;
  /** In a transaction that holds the café; events that name `elsewhere` need all cafés of the technician. */
  readonly applyIn: (tx: Tx, row: BookingRecord, event: BookingEvent, now: Instant, more?: { readonly pressedOn?: string | undefined; readonly by?: string | undefined; readonly change?: Partial<BookingRecord> }) => Promise<Done>;
  /** A transaction that holds a café and every other that shares a technician with it. */
  readonly holding: <T>(cafe: string, work: (tx: Tx) => Promise<T>) => Promise<T>;
  /** One event in a transaction of its own, with every café held that it may touch. Undefined: there is no such booking, or nothing to do. */
  readonly change: (id: string, now: Instant, on: PressedBy, event: (tx: Tx, row: BookingRecord) => Promise<BookingEvent | undefined>, after?: (tx: Tx, done: Done) => Promise<void>) => Promise<Done | undefined>;
};

/** What follows in the case: booked while somebody is coming, fixed at the end, open again when nobody comes. Undefined: nothing. */
const caseStep = ({ state }: Booking, row: CaseRecord): Partial<CaseRecord> | undefined => {
  switch (state.kind) {
    case 'finished':
      return row.closed_at === null ? { state: 'fixed', step: 'closed', closed_at: state.since } : undefined;
    case 'called off':
    case 'nobody took it':
      return row.state === 'booked' ? { state: 'open' } : undefined;
    default:
      return row.state === 'booked' ? undefined : { state: 'booked', closed_at: null, ...(row.step === 'closed' ? { step: 'verdict' } : {}) };
  }
};

/** A correction is shown where the end was told; only what the café has to read or do is told once more. */
const isQuiet = ({ state: before }: Booking, { state: after }: Booking): boolean =>
  before.kind === 'finished' && after.kind === 'finished' && before.closeOut.words === after.closeOut.words && JSON.stringify(before.closeOut.defectsLeft) === JSON.stringify(after.closeOut.defectsLeft);

export const createDesk = ({ store, ids, refreshCase }: DeskNeeds): Desk => {
  const plan = async (tx: Tx, booking: Booking, now: Instant): Promise<void> => {
    const key = `${CLOCK}.${booking.id}`;
    const at = wakeAt(booking);
    await (at === null ? stopTimer(tx, key) : setTimer(tx, ids, now, { key, cafe: booking.cafe, kind: CLOCK, ref: booking.id, at }));
  };

  const followCase = async (tx: Tx, booking: Booking, now: Instant): Promise<void> => {
    const row = await caseById(tx, booking.caseId);
    const step = row && caseStep(booking, row);
    if (!row || !step) return;
    await changeCase(tx, row.id, { ...step, updated_at: now });
    await refreshCase(tx, row.id, now);
    const cafe = await cafeById(tx, row.cafe);
    if (step.state === 'fixed' && cafe) await setTimer(tx, ids, now, { key: `case.week.${row.id}`, cafe: row.cafe, kind: 'case.check', ref: row.id, at: quietHour(cafe, now, 7) });
  };

  type More = { readonly pressedOn?: string | undefined; readonly answered?: string | undefined; readonly by?: string | undefined };

  const settle = async (tx: Tx, row: BookingRecord, booking: Booking, effects: readonly Effect[], now: Instant, more: More): Promise<void> => {
    await plan(tx, booking, now);
    await followCase(tx, booking, now);
    const cafe = await cafeById(tx, row.cafe);
    if (!cafe || cafe.state === 'gone') return;
    await tellAll({ tx, ids, now, cafe, row, ...more }, effects);
  };

  /** Somebody without any place to write to is passed over at once. */
  const passUnreachable = async (tx: Tx, id: string, now: Instant): Promise<void> => {
    const row = await bookingById(tx, id);
    const cafe = row && (await cafeById(tx, row.cafe));
    if (!row || !cafe || row.state !== 'asked' || row.technician === null) return;
    const technician = (await techniciansOf(tx, cafe.id)).find((each) => each.id === row.technician);
    if (technician && (await placeFor(tx, technician)) !== undefined) return;
    await applyIn(tx, row, { kind: 'cannot be reached', technician: row.technician, round: roundOf(bookingOf(row)) }, now);
  };

  const open: Desk['open'] = async (tx, what, now) => {
    const id = ids(now);
    const order = linkedIn(await techniciansOf(tx, what.cafe)).map((technician) => technician.id);
    const caseId = what.caseId ?? `${what.about}.${what.dangerId ?? id}`;
    const { booking, effects } = openBooking({ id, cafe: what.cafe, caseId, order, answering: what.need.answering, suits: what.suits }, now);
    const row: BookingRecord = {
      id, cafe: what.cafe, case_id: what.caseId, danger_id: what.dangerId, machine: what.machine, about: what.about, ...columnsOf(booking), level: what.need.level, people: what.need.people ? 1 : 0, visit_by: what.need.visitBy,
      told: 0, draft: null, report: '{}', by_person: what.by.id, by_name: what.by.name, created_at: now, updated_at: now, rev: 0,
    };
    await insertBooking(tx, row);
    await settle(tx, row, booking, effects, now, { answered: what.answered });
    await passUnreachable(tx, id, now);
    return (await bookingById(tx, id)) ?? row;
  };

  /** A visit agreed or given up changes which times the same technician can be offered elsewhere. */
  const refreshOffers = async (tx: Tx, technician: string | null, but: string, now: Instant): Promise<void> => {
    const person = technician === null ? undefined : (await technicianById(tx, technician))?.person;
    if (!person) return;
    const entries = await entriesOfPerson(tx, person);
    for (const row of await bookingsWith(tx, entries.map(({ id }) => id)))
      if (row.id !== but && row.starts_at === null && row.technician !== null) await redraw(tx, technicianKey(row.id, roundOf(bookingOf(row)), row.technician), now);
  };

  const applyIn: Desk['applyIn'] = async (tx, row, event, now, more = {}) => {
    const applied = apply(bookingOf(row), event, now);
    if (applied.kind !== 'changed') return { applied, row };
    await changeBooking(tx, row.id, { ...columnsOf(applied.booking), ...more.change, updated_at: now });
    const after = await bookingById(tx, row.id);
    if (!after) throw new Error(`no booking ${row.id}`);
    if (row.starts_at !== after.starts_at) await refreshOffers(tx, after.technician ?? row.technician, row.id, now);
    await settle(tx, after, applied.booking, isQuiet(bookingOf(row), applied.booking) ? [] : applied.effects, now, { pressedOn: more.pressedOn, by: more.by });
    await passUnreachable(tx, row.id, now);
    return { applied, row: (await bookingById(tx, row.id)) ?? after };
  };

  const holding: Desk['holding'] = async (home, work) => {
    for (let held = await read(store, (tx) => cafesToHold(tx, home)); ; ) {
      const tried = await transact(store, held, async (tx) => {
        const wanted = await cafesToHold(tx, home);
        // A café that linked a technician meanwhile is held as well the next time.
        return wanted.some((each) => !held.includes(each)) ? ({ kind: 'hold', cafes: wanted } as const) : ({ kind: 'done', done: await work(tx) } as const);
      });
      if (tried.kind === 'done') return tried.done;
      held = tried.cafes;
    }
  };

  const change: Desk['change'] = async (id, now, { on, cafe }, event, after) => {
    const home = (await read(store, (tx) => bookingById(tx, id)))?.cafe;
    if (home === undefined) return undefined;
    return holding(home, async (tx) => {
      const row = await bookingById(tx, id);
      const what = row && (await event(tx, row));
      if (!row || !what) return undefined;
      const by = cafe === undefined || (await mayIn(tx, home, cafe, 'own')) ? undefined : cafe.name;
      const done = await applyIn(tx, row, what, now, { pressedOn: on, by });
      await after?.(tx, done);
      return done;
    });
  };

  return { open, applyIn, holding, change };
};
