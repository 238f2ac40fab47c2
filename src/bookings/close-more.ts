import { withMachineFact } from '../cafe/machine-facts.ts';
import { cafeById, groupsOf, machineById, type Technician } from '../cafe/records.ts';
import type { Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { caseById, dangerAfter } from '../faults/records.ts';
import type { Ids } from '../store/id.ts';
import type { Store, Tx } from '../store/store.ts';
import { read } from '../store/transact.ts';
import { minutes, type Instant } from '../time/instant.ts';
import type { LocalDate } from '../time/local-date.ts';
import { dateAt } from '../time/wall-time.ts';
import { hardnessIn } from '../water/hardness-words.ts';
import { dayWords } from './arrange.ts';
import type { CloseOut } from './booking-state.ts';
import type { CloseOuts } from './close-out.ts';
import { bookingIn, fieldOf, wordsField, type Pressing } from './pressing.ts';
import { bookingById, bookingOf, changeBooking, type BookingRecord } from './records.ts';
import { amountIn, hoursIn, numbersOf, pairIn, readReport, withReport, type Report } from './report.ts';
import { refresh, tellCafe } from './told.ts';
import { readTime } from './time-words.ts';

export type CloseMoreNeeds = {
  readonly ids: Ids;
  readonly store: Store;
  readonly pressing: Pressing;
  readonly closeOuts: CloseOuts;
  readonly closed: (tx: Tx, row: BookingRecord, now: Instant) => Promise<void>;
  readonly free: (tx: Tx, machine: string, by: string, reason: string, now: Instant) => Promise<void>;
  /** The technician says by when somebody should come again: the café's service plan is moved there. */
  readonly nextVisit: (tx: Tx, row: BookingRecord, by: LocalDate, technician: string, now: Instant) => Promise<void>;
  readonly groupBack: (tx: Tx, machine: string, group: number) => Promise<void>;
};

/** What can be added after the end, piece by piece, and that a machine may be used again. */
export const createCloseMore = ({ ids, store, pressing, closeOuts, closed, free, nextVisit, groupBack }: CloseMoreNeeds): readonly PressRoute[] => {
  const { redrawn, refusal, ofTechnician, form, technician, say: sayOf } = pressing;

  const isFinishedBy = (row: BookingRecord, entry: Technician): boolean => {
    const { state } = bookingOf(row);
    return state.kind === 'finished' && state.technician === entry.id;
  };

  const correct = async (pressed: Pressed, change: (before: CloseOut) => CloseOut): Promise<Answer> => redrawn(pressed, refusal(pressed, await closeOuts.give(pressed, (before) => before ? change(before) : undefined)));

  const report = async (pressed: Pressed, more: { readonly [key in keyof Report]: Report[key] | undefined }, beside?: (tx: Tx, row: BookingRecord, entry: Technician) => Promise<void>): Promise<void> => {
    await ofTechnician(pressed, async (tx, row, entry) => {
      if (!isFinishedBy(row, entry)) return;
      await changeBooking(tx, row.id, { report: JSON.stringify(withReport(readReport(row.report), more)) });
      await beside?.(tx, row, entry);
      const after = await bookingById(tx, row.id);
      if (after) await closed(tx, after, pressed.now);
      if (after) await refresh({ tx, now: pressed.now, row: after, pressedOn: pressed.shown?.key });
    });
  };

  const priceSaid = async (pressed: Pressed): Promise<Answer> => {
    const currency = await read(store, async (tx) => {
      const row = await bookingById(tx, bookingIn(pressed));
      return row && (await cafeById(tx, row.cafe))?.currency;
    });
    const price = currency ? amountIn(fieldOf(pressed), currency) : undefined;
    if (price === undefined) return redrawn(pressed, message([sayOf(pressed)('booking.price.unread')]));
    return correct(pressed, (before) => ({ ...before, price }));
  };

  const readingsSaid = async (pressed: Pressed): Promise<Answer> => {
    const [boiler, pump] = [pairIn(fieldOf(pressed, 'boiler')), pairIn(fieldOf(pressed, 'pump'))];
    const lead = fieldOf(pressed, 'lead', 40);
    await report(pressed, {
      boiler: boiler && [...boiler], pump: pump && [...pump], tenSeconds: numbersOf(fieldOf(pressed, 'ten'))?.slice(0, 6), hours: hoursIn(fieldOf(pressed, 'hours'))?.slice(0, 6), lead: lead === '' ? undefined : lead,
    });
    return redrawn(pressed, message([sayOf(pressed)('booking.noted')]));
  };

  /** Read by the technician, known by the café from now on; without its unit a number is three different waters. */
  const waterSaid = async (pressed: Pressed): Promise<Answer> => {
    const text = fieldOf(pressed, 'text', 40);
    const water = hardnessIn(text);
    if (water === undefined) return redrawn(pressed, message([sayOf(pressed)('booking.water.unread')]));
    await report(pressed, { hardness: Math.round(water) }, async (tx, row) => {
      const machine = row.machine === null ? undefined : await machineById(tx, row.machine);
      if (machine) await tx.updateTable('machine').set({ facts: withMachineFact(machine.facts, 'hardness', text) }).where('id', '=', machine.id).execute();
    });
    return redrawn(pressed, message([sayOf(pressed)('booking.noted')]));
  };

  const moreSaid = async (pressed: Pressed): Promise<Answer> => {
    const zone = await read(store, async (tx) => {
      const row = await bookingById(tx, bookingIn(pressed));
      return row && (await cafeById(tx, row.cafe))?.zone;
    });
    const [confirmed, left, tests, when] = [fieldOf(pressed, 'confirmed', 100), fieldOf(pressed, 'left', 120), fieldOf(pressed, 'tests', 100), fieldOf(pressed, 'next', 40)];
    const took = numbersOf(fieldOf(pressed, 'minutes', 10))?.[0];
    const next = zone === undefined || when === '' ? undefined : readTime(`${when} 9:00`, pressed.now, zone, dayWords(sayOf(pressed)), minutes(60));
    const nextDue = next?.kind === 'time' && zone !== undefined ? dateAt(next.span.start, zone) : undefined;
    await report(pressed, { tests: tests === '' ? undefined : tests, nextDue }, async (tx, row, entry) => {
      if (nextDue !== undefined) await nextVisit(tx, row, nextDue, entry.name, pressed.now);
    });
    return correct(pressed, (before) => ({
      ...before,
      ...(confirmed === '' ? {} : { confirmedBy: confirmed }), ...(took === undefined ? {} : { minutes: Math.round(took) }), ...(left === '' ? {} : { defectsLeft: left.split(/\s*[;,]\s*/).filter((each) => each !== '').slice(0, 4) }),
    }));
  };

  const ask = (text: string, kind: string, answers: readonly string[]) => async (pressed: Pressed): Promise<Answer> => {
    const say = sayOf(pressed);
    const buttons = answers.map((answer) => button(say(`booking.view.${answer}`), press(kind, ...pressed.press.ids.slice(0, 2), answer)));
    return { kind: kind === 'booking.view-said' ? 'private' : 'redraw', message: message([say(text)], buttons) };
  };

  const WHEN: Readonly<Record<string, CloseOut['shouldHaveBooked']>> = { 'right-time': 'at that time', earlier: 'earlier', 'not-at-all': 'not at all' };

  const viewSaid = async (pressed: Pressed): Promise<Answer> => {
    await closeOuts.give(pressed, (before) => before ? { ...before, shouldHaveBooked: WHEN[pressed.press.ids[2] ?? ''] ?? null } : undefined);
    return ask('booking.view.ask-safe', 'booking.view-safe', ['safe', 'unsafe'])(pressed);
  };

  const safeSaid = async (pressed: Pressed): Promise<Answer> => {
    await closeOuts.give(pressed, (before) => before ? { ...before, adviceWasSafe: pressed.press.ids[2] === 'safe' } : undefined);
    return { kind: 'redraw', message: message([sayOf(pressed)('booking.view.thanks')]) };
  };

  const askFree = async (pressed: Pressed): Promise<Answer> => {
    const say = sayOf(pressed);
    const ids = pressed.press.ids.slice(0, 2);
    return { kind: 'private', message: message([say('booking.free.1'), say('booking.free.2')], [button(say('booking.button.free-yes'), press('booking.freed', ...ids), 'danger'), button(say('booking.button.free-no'), press('booking.free-not', ...ids))]) };
  };

  const groupOut = async (tx: Tx, row: BookingRecord): Promise<number | undefined> => {
    const about = row.case_id === null ? undefined : (await caseById(tx, row.case_id))?.group_number;
    return row.machine === null ? undefined : (await groupsOf(tx, row.machine)).find(({ number, state }) => number === about && state === 'out of use')?.number;
  };

  /** A group left out of use. False: a danger was told of it meanwhile, and it stays out. */
  const freedGroup = async (tx: Tx, row: BookingRecord): Promise<number | false | undefined> => {
    const group = await groupOut(tx, row);
    if (group === undefined || row.machine === null) return undefined;
    await groupBack(tx, row.machine, group);
    return (await groupOut(tx, row)) === undefined ? group : false;
  };

  /** Only the one who was there and is finished can say it, and it is told in their name. */
  const freed = async (pressed: Pressed): Promise<Answer> => {
    const done = await ofTechnician(pressed, async (tx, row, entry) => {
      const booking = bookingOf(row);
      const cafe = await cafeById(tx, row.cafe);
      if (!isFinishedBy(row, entry) || row.machine === null || !cafe || booking.state.kind !== 'finished') return false;
      // Told after the visit: what was found at it says nothing of this.
      if (await dangerAfter(tx, row.machine, booking.state.since)) return 'danger';
      const machine = await machineById(tx, row.machine);
      const group = machine?.state === 'in use' ? await freedGroup(tx, row) : undefined;
      if (group === false) return false;
      if (machine?.state === 'in use' && group === undefined) return true;
      if (group === undefined) await free(tx, row.machine, entry.name, booking.state.closeOut.cause, pressed.now);
      await tellCafe({ tx, ids, now: pressed.now, cafe, row }, { kind: 'freed', technician: entry.id, at: pressed.now, ...(group === undefined ? {} : { group }) }, null);
      await refresh({ tx, now: pressed.now, row: (await bookingById(tx, row.id)) ?? row });
      return true;
    });
    return { kind: 'redraw', message: message([sayOf(pressed)(done === true ? 'booking.t.freed' : done === 'danger' ? 'booking.free.danger-since' : 'booking.refused.not-asked')]) };
  };

  return [
    technician('booking.price', form('booking.price-said', 'booking.form.price', wordsField('text', 'booking.form.price-ask', 20)), 'form'),
    technician('booking.price-said', priceSaid),
    technician('booking.readings', form(
      'booking.readings-said', 'booking.form.readings',
      wordsField('boiler', 'booking.form.boiler', 20, { hint: 'booking.form.boiler-hint', optional: true }), wordsField('pump', 'booking.form.pump', 20, { hint: 'booking.form.boiler-hint', optional: true }),
      wordsField('ten', 'booking.form.ten', 40, { hint: 'booking.form.ten-hint', optional: true }), wordsField('hours', 'booking.form.hours', 40, { hint: 'booking.form.hours-hint', optional: true }), wordsField('lead', 'booking.form.lead', 40, { optional: true }),
    ), 'form'),
    technician('booking.readings-said', readingsSaid),
    technician('booking.water', form('booking.water-said', 'booking.form.water', wordsField('text', 'booking.form.water-ask', 40, { hint: 'booking.form.water-hint' })), 'form'),
    technician('booking.water-said', waterSaid),
    technician('booking.more', form(
      'booking.more-said', 'booking.form.more',
      wordsField('confirmed', 'booking.form.confirmed', 100, { optional: true }), wordsField('minutes', 'booking.form.minutes', 10, { optional: true }), wordsField('left', 'booking.form.left', 120, { hint: 'booking.form.left-hint', optional: true }),
      wordsField('tests', 'booking.form.tests', 100, { optional: true }), wordsField('next', 'booking.form.next', 40, { hint: 'booking.form.next-hint', optional: true }),
    ), 'form'),
    technician('booking.more-said', moreSaid),
    technician('booking.view', ask('booking.view.ask-when', 'booking.view-said', ['right-time', 'earlier', 'not-at-all']), 'private'),
    technician('booking.view-said', viewSaid),
    technician('booking.view-safe', safeSaid),
    technician('booking.free', askFree, 'private'),
    technician('booking.freed', freed),
    technician('booking.free-not', async (pressed) => ({ kind: 'redraw', message: message([sayOf(pressed)('booking.free.not')]) })),
  ];
};
