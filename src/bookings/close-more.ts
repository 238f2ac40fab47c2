import { withMachineFact } from '../cafe/machine-facts.ts';
import { cafeById, machineById, type Technician } from '../cafe/records.ts';
import type { Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { Store, Tx } from '../store/store.ts';
import { read } from '../store/transact.ts';
import { minutes, type Instant } from '../time/instant.ts';
import type { LocalDate } from '../time/local-date.ts';
import { dateAt } from '../time/wall-time.ts';
import { hardnessIn } from '../water/hardness-words.ts';
import { dayWords } from './arrange.ts';
import type { CloseOut } from './booking-state.ts';
import type { CloseOuts } from './close-out.ts';
import { isFinishedBy } from './freeing.ts';
import { bookingIn, fieldOf, wordsField, type Pressing } from './pressing.ts';
import { bookingById, changeBooking, type BookingRecord } from './records.ts';
import { amountIn, hoursIn, leadsIn, numbersOf, pairIn, readReport, withReport, type LeadRange, type Report } from './report.ts';
import { refresh } from './told.ts';
import { readTime } from './time-words.ts';

export type CloseMoreNeeds = {
  readonly store: Store;
  readonly pressing: Pressing;
  readonly closeOuts: CloseOuts;
  readonly closed: (tx: Tx, row: BookingRecord, now: Instant) => Promise<void>;
  /** The technician says by when somebody should come again: the café's service plan is moved there. */
  readonly nextVisit: (tx: Tx, row: BookingRecord, by: LocalDate, technician: string, now: Instant) => Promise<void>;
  readonly leadRange: LeadRange;
};

/** What can be added after the end, piece by piece. */
export const createCloseMore = ({ store, pressing, closeOuts, closed, nextVisit, leadRange }: CloseMoreNeeds): readonly PressRoute[] => {
  const { redrawn, refusal, ofTechnician, form, technician, say: sayOf } = pressing;

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
    const leads = leadsIn(lead, leadRange);
    if (lead !== '' && leads === undefined) return redrawn(pressed, message([sayOf(pressed)('booking.lead.unread', { low: leadRange.lowMm, high: leadRange.highMm })]));
    await report(pressed, {
      boiler: boiler && [...boiler], pump: pump && [...pump], tenSeconds: numbersOf(fieldOf(pressed, 'ten'))?.slice(0, 6), hours: hoursIn(fieldOf(pressed, 'hours'))?.slice(0, 6), leads: leads?.slice(0, 6),
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

  return [
    technician('booking.price', form('booking.price-said', 'booking.form.price', wordsField('text', 'booking.form.price-ask', 20)), 'form'),
    technician('booking.price-said', priceSaid),
    technician('booking.readings', form(
      'booking.readings-said', 'booking.form.readings',
      wordsField('boiler', 'booking.form.boiler', 20, { hint: 'booking.form.boiler-hint', optional: true }), wordsField('pump', 'booking.form.pump', 20, { hint: 'booking.form.boiler-hint', optional: true }),
      wordsField('ten', 'booking.form.ten', 40, { hint: 'booking.form.ten-hint', optional: true }), wordsField('hours', 'booking.form.hours', 40, { hint: 'booking.form.hours-hint', optional: true }), wordsField('lead', 'booking.form.lead', 40, { hint: 'booking.form.lead-hint', optional: true }),
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
  ];
};
