import { cafeById, machinesOff } from '../cafe/records.ts';
import type { Here, Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message, type Message } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import type { Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { hours, instant, later, type Instant } from '../time/instant.ts';
import { clockTime, listed } from '../words/format.ts';
import { shortOf } from './job-name.ts';
import type { DoneNeeds } from './list-desk.ts';
import { machineNumbers } from './machine-numbers.ts';
import { dutiesOf, type Duty, type Occurrence } from './records.ts';

/** So long before its list a job counts as done for it. */
export const EARLY = hours(2);

export type EarlyList = { readonly cafe: string; readonly zone: string; readonly at: Instant; readonly duties: readonly Duty[]; readonly numbers: ReadonlyMap<string, number> };

/** The next list of a café when it comes within two hours: its jobs that nobody has done yet. `leave`: jobs not to be named. */
export const earlyList = async (tx: Tx, cafeId: string, now: Instant, leave: (duty: Duty) => boolean): Promise<EarlyList | undefined> => {
  const cafe = await cafeById(tx, cafeId);
  const due = (await dutiesOf(tx, cafeId)).filter((duty) => duty.active === 1 && duty.next_due !== null && duty.next_due > now && duty.next_due <= later(now, EARLY));
  const at = Math.min(...due.map((duty) => duty.next_due ?? Infinity));
  if (!cafe || cafe.state !== 'live' || !Number.isFinite(at)) return undefined;
  const done = new Set((await tx.selectFrom('done_early').select('duty').where('cafe', '=', cafeId).where('due_at', '=', at).execute()).map(({ duty }) => duty));
  const duties = due.filter((duty) => duty.next_due === at && !done.has(duty.id) && !leave(duty));
  return duties.length === 0 ? undefined : { cafe: cafeId, zone: cafe.zone, at: instant(at), duties, numbers: await machineNumbers(tx, cafeId) };
};

export type DoneEarly = { readonly duty: string; readonly due_at: number; readonly by_person: string | null; readonly by_name: string; readonly at: number };

/** What was done before these lists were made. */
export const doneEarly = async (tx: Tx, cafes: readonly string[], dues: readonly number[]): Promise<readonly DoneEarly[]> =>
  cafes.length === 0 || dues.length === 0 ? [] : tx.selectFrom('done_early').select(['duty', 'due_at', 'by_person', 'by_name', 'at']).where('cafe', 'in', [...cafes]).where('due_at', 'in', [...new Set(dues)]).execute();

/** Marks it on the list that has come. */
export const takeEarly = async (tx: Tx, rows: readonly Pick<Occurrence, 'id' | 'duty' | 'due_at'>[], early: readonly DoneEarly[]): Promise<ReadonlySet<string>> => {
  const done = new Set<string>();
  for (const row of rows) {
    const by = early.find(({ duty, due_at }) => duty === row.duty && due_at === row.due_at);
    if (!by) continue;
    done.add(row.id);
    await tx.updateTable('occurrence').set((eb) => ({ state: 'done', by_person: by.by_person, by_name: by.by_name, done_at: by.at, rev: eb('rev', '+', 1) })).where('id', '=', row.id).where('state', '=', 'due').execute();
    await tx.updateTable('duty').set({ last_done_at: by.at }).where('id', '=', row.duty).execute();
  }
  return done;
};

export type EarlyDesk = { readonly offer: (here: Here, cafes: readonly string[]) => Promise<Message | undefined>; readonly presses: readonly PressRoute[] };

/** Marking jobs done up to two hours before their list comes: it then is not posted, or posted with that done. */
export const createEarly = ({ store, words, ids, jobs }: DoneNeeds): EarlyDesk => {
  // What ends later needs its end said, on the list itself.
  const ends = new Set(jobs.filter((job) => job.ends).map(({ id }) => id));
  const order = new Map(jobs.map((job, i) => [job.id, i]));
  const hot = new Set(jobs.filter(({ state }) => state === 'hot').map(({ id }) => id));
  const listOf = async (tx: Tx, cafe: string, now: Instant): Promise<EarlyList | undefined> => {
    const off = await machinesOff(tx, [cafe]);
    return earlyList(tx, cafe, now, ({ job, machine }) => ends.has(job) || (hot.has(job) && off.has(machine ?? '')));
  };

  const offer: EarlyDesk['offer'] = async (here, cafes) => {
    const [cafe] = cafes;
    const list = cafe === undefined ? undefined : await read(store, (tx) => listOf(tx, cafe, here.now));
    if (!list) return undefined;
    const say = words.in(here.locale);
    const named = [...list.duties].sort((a, b) => (order.get(a.job) ?? 99) - (order.get(b.job) ?? 99));
    const from = named.slice(0, 25).map((duty) => ({ value: duty.id, label: shortOf(say, duty, list.numbers) }));
    return message(
      [say('routine.early.none', { time: clockTime(list.at, { locale: here.locale, zone: list.zone }) }), say('routine.early.ask')],
      { ask: say('routine.some'), press: press('routine.early', list.cafe, String(list.at)), many: { least: 1, most: from.length }, from },
      [button(say('routine.button.all'), press('routine.early', list.cafe, String(list.at), 'all'), 'main'), button(say('routine.button.not-yet'), press('routine.early-not', list.cafe, String(list.at)))],
    );
  };

  const take = async (pressed: Pressed): Promise<Answer> => {
    const [cafeId = '', at = '', which] = pressed.press.ids;
    const say = words.in(pressed.locale);
    const told = await transact(store, [cafeId], async (tx) => {
      const list = await listOf(tx, cafeId, pressed.now);
      const duties = list && String(list.at) === at ? list.duties.filter(({ id }) => which === 'all' || pressed.picked.includes(id)) : [];
      for (const { id } of duties)
        await tx.insertInto('done_early').values({ id: ids(pressed.now), cafe: cafeId, duty: id, due_at: Number(at), by_person: pressed.by.id, by_name: pressed.by.name, at: pressed.now }).onConflict((conflict) => conflict.columns(['duty', 'due_at']).doNothing()).execute();
      return { duties, zone: list?.zone ?? 'UTC', numbers: list?.numbers ?? new Map<string, number>() };
    });
    if (told.duties.length === 0) return { kind: 'redraw', message: message([say('routine.gone')]) };
    const names = listed(told.duties.map((duty) => shortOf(say, duty, told.numbers)), pressed.locale);
    const time = clockTime(pressed.now, { locale: pressed.locale, zone: told.zone });
    return { kind: 'redraw', message: message([say('routine.early.done', { name: pressed.by.name, time }), names], [button(say('routine.button.take-back'), press('routine.early-back', cafeId, at))]) };
  };

  const back = async (pressed: Pressed): Promise<Answer> => {
    const [cafeId = '', at = '0'] = pressed.press.ids;
    const gone = Number(at) <= pressed.now ? [] : await transact(store, [cafeId], (tx) => tx.deleteFrom('done_early').where('cafe', '=', cafeId).where('due_at', '=', Number(at)).where('by_person', '=', pressed.by.id).returning('id').execute());
    return { kind: 'redraw', message: message([words.in(pressed.locale)(gone.length > 0 ? 'routine.early.back' : 'routine.back.nothing')]) };
  };

  const notYet = async (pressed: Pressed): Promise<Answer> => {
    const [cafeId = '', at = '0'] = pressed.press.ids;
    const cafe = await read(store, (tx) => cafeById(tx, cafeId));
    const time = clockTime(instant(Number(at)), { locale: pressed.locale, zone: cafe?.zone ?? 'UTC' });
    return { kind: 'redraw', message: message([words.in(pressed.locale)('routine.early.not', { time })]) };
  };

  const ofCafe = async (_tx: Tx, given: Press): Promise<string | undefined> => given.ids[0];
  return {
    offer,
    presses: [
      { kind: 'routine.early', ack: 'update', right: 'answer', cafe: ofCafe, take },
      { kind: 'routine.early-not', ack: 'update', right: 'answer', cafe: ofCafe, take: notYet },
      { kind: 'routine.early-back', ack: 'update', right: 'answer', cafe: ofCafe, take: back },
    ],
  };
};
