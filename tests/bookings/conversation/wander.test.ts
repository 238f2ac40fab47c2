import { expect, test } from 'vitest';
import { wakeAt } from '../../../src/bookings/booking-clock.ts';
import { overlap } from '../../../src/bookings/span.ts';
import { bookingOf, isOpenRow, type BookingRecord } from '../../../src/bookings/records.ts';
import { direct, personId } from '../../../src/chat/who.ts';
import { press } from '../../../src/chat/press.ts';
import { instant } from '../../../src/time/instant.ts';
import { databases } from '../../store/databases.ts';
import { draws } from '../draws.ts';
import { BAR, openWorld, verdictFor, type World } from './world.ts';

const WALKS = Number(process.env['WALKS'] ?? 3);
const FIRST = Number(process.env['FIRST'] ?? 1);
const STEPS = 50;
const PEOPLE = ['ana', 'ana', 'ana', 'bea', 'bea', 'ola', 'ola', 'mia'] as const;

const TYPED = [
  'on my way', "i'm here", 'finished', "can't come", 'need a part', 'running late', 'thursday 15:00', 'tomorrow 9:30', 'call it off', 'not cured', 'visits', 'van: 2 seals 8.5, 1 screen', 'stock: 2 seals 8', 'who comes', 'ok', 'no', 'thanks',
] as const;
const WRITTEN = ['', 'thu 15:00', 'tomorrow 10', 'next friday', 'a coil', 'filter cartridge, 2 screens', 'seal 8.5 mm', 'dirt in the valve', '85,50', '1.4, 1.1', '12 dH', '2', '5:30, 6', '2027-06-01', '😀', 'x'.repeat(200), "o'clock {name} <b>"] as const;

const rowsOf = (world: World): Promise<readonly BookingRecord[]> => world.tx((tx) => tx.selectFrom('booking').selectAll().execute());

/** What must hold after whatever anybody pressed. */
const check = async (world: World): Promise<void> => {
  const rows = await rowsOf(world);
  const open = rows.filter(isOpenRow);
  const people = new Map((await world.tx((tx) => tx.selectFrom('technician').select(['id', 'person']).execute())).map(({ id, person }) => [id, person]));
  const timers = await world.tx((tx) => tx.selectFrom('timer').select(['ref', 'at']).where('kind', '=', 'booking.clock').where('active', '=', 1).execute());
  for (const row of open) {
    const wake = wakeAt(bookingOf(row));
    expect(timers.find(({ ref }) => ref === row.id)?.at ?? null, 'the clock of a booking').toBe(wake);
    if (row.case_id !== null) {
      expect(open.filter((each) => each.case_id === row.case_id), 'one booking a case').toHaveLength(1);
      expect((await world.tx((tx) => tx.selectFrom('fault_case').select('state').where('id', '=', row.case_id ?? '').executeTakeFirstOrThrow())).state, 'the case of an open booking').toBe(row.state === 'nobody took it' ? 'open' : 'booked');
    }
    expect(row.told, 'the café was told').toBeGreaterThan(0);
  }
  const dated = open.flatMap(({ starts_at, ends_at, technician }) => (starts_at === null || ends_at === null || technician === null ? [] : [{ who: people.get(technician), span: { start: instant(starts_at), end: instant(ends_at) } }]));
  dated.forEach((one, i) => expect(dated.slice(i + 1).some((other) => one.who != null && other.who === one.who && overlap(one.span, other.span)), 'a technician in two places').toBe(false));
  for (const plan of await world.tx((tx) => tx.selectFrom('service_plan').selectAll().execute())) {
    expect(open.filter(({ about }) => about === plan.about).length, `visits for ${plan.about}`).toBeLessThanOrEqual(1);
    if (plan.state === 'booked') expect(rows.some(({ id }) => id === plan.booking)).toBe(true);
  }
};

const met = new Set<string>();

/**
 * Anybody presses any button they see, in any order, types and waits: nothing stumbles, no message is against the voice (both throw in
 * the world), and no visit is doubled or lost. `WALKS=200 npx vitest run tests/bookings/conversation/wander.test.ts` walks further.
 */
test(`${WALKS} walks of ${STEPS} presses, words and pauses on two faults and a service that is due`, { timeout: 60_000 + WALKS * 20_000 }, async () => {
  const [embedded] = databases;
  if (!embedded) throw new Error('no database');
  for (let seed = FIRST; seed < FIRST + WALKS; seed += 1) {
    const draw = draws(seed * 7919);
    const world = await openWorld(await embedded.open());
    await world.link('Bea', direct(personId('bea')));
    const cases = [await world.verdict(verdictFor('group-valve-passes')), await world.verdict(verdictFor('seal-worn'), { symptom: 'leak-at-rim', group: 1 })];
    for (const id of cases) await world.raw('ola', press('booking.book', id, 'any'));
    await world.command('ola', 'visits');
    await world.press('ola', 'Service dates');
    await world.press('ola', 'Yearly service');
    await world.fill('ola', { due: '2027-03-20', months: '12' });
    await world.until('10m');
    const told: string[] = [];
    try {
      for (let step = 0; step < STEPS; step += 1) {
        const who = draw.one(PEOPLE);
        const dice = draw.unit();
        if (dice < 0.08) await world.until(draw.one(['5m', '30m', '2h', 'tomorrow 9:00']));
        else if (dice < 0.16) await world.say(who, draw.one(TYPED), who === 'mia' ? BAR : direct(personId(who)));
        else if (dice < 0.2) told.push(await world.command(who, 'visits'));
        else told.push((await world.pressAny(who, draw.below, WRITTEN)) ?? '');
        expect(told.at(-1) ?? '').not.toMatch(/went wrong/);
        await check(world);
        for (const { state, about } of await rowsOf(world)) met.add(`${about === 'fault' ? '' : 'service '}${state}`);
      }
      for (const jump of ['tomorrow 9:00', 'tomorrow 9:00', 'tomorrow 9:00']) await world.until(jump);
      await check(world);
    } catch (cause) {
      throw new Error(`walk ${seed} after:\n${told.slice(-8).join('\n')}`, { cause });
    }
    await world.store.close();
  }
});

test('the walks met faults and services under way: a check that met nothing would prove nothing', () => {
  expect(met.size, [...met].join(', ')).toBeGreaterThanOrEqual(5);
});
