import { cafeById, ownersOf } from '../cafe/records.ts';
import type { NoticeKind, Pressed, PressRoute, Said, TimerKind } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, line, message, type Message } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import { direct, personId, placeId } from '../chat/who.ts';
import { post, SAID, said as saidMessage } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { setTimer } from '../store/timers.ts';
import { read, transact } from '../store/transact.ts';
import { instant, type Instant } from '../time/instant.ts';
import { plusDays } from '../time/local-date.ts';
import { dateAt, instantOf, localTime } from '../time/wall-time.ts';
import { clockTime, listed, shortened } from '../words/format.ts';
import { isOpen, type JobState } from './answer.ts';
import { by, type DoneNeeds, type ListDesk } from './list-desk.ts';
import { jobShort } from './job-name.ts';
import { occurrenceById, occurrencesOf, WATER_ONLY, type Occurrence, type Reminder } from './records.ts';
import type { Hindrance } from './reply.ts';
import { waterKey } from './thanks.ts';

export type Supplies = {
  /** Someone cannot: half of it where half can be done, and whoever can help is told. */
  readonly cannot: (said: Said, reminder: Reminder, why: Hindrance | null) => Promise<Answer>;
  readonly presses: readonly PressRoute[];
  readonly timers: readonly TimerKind[];
  readonly notices: readonly NoticeKind[];
};

const NEXT_ASK = localTime('10:00');

export const createSupplies = ({ store, words, ids, jobs }: DoneNeeds, desk: ListDesk): Supplies => {
  const detergent = new Set(jobs.filter((job) => job.detergent).map((job) => job.id));

  const openOf = async (tx: Tx, reminder: string): Promise<readonly Occurrence[]> => (await occurrencesOf(tx, reminder)).filter((row) => isOpen(row.state as JobState));

  /** Told once an evening, to owners who agreed to be written to. */
  const tellOwners = async (tx: Tx, cafeId: string, now: Instant): Promise<string | null> => {
    const cafe = await cafeById(tx, cafeId);
    const owners = (await ownersOf(tx, cafeId)).filter((owner) => owner.direct_ok === 1);
    if (!cafe) return null;
    for (const owner of owners)
      await post(tx, ids, now, { key: `out.${cafeId}.${dateAt(now, cafe.zone)}.${owner.id}`, cafe: cafeId, place: direct(personId(owner.person ?? '')), kind: 'routine.out', data: { cafe: cafeId, since: now }, priority: 'other' });
    return owners[0]?.name ?? null;
  };

  const noDetergent = async (said: Said, reminder: Reminder): Promise<Answer> => {
    const open = await read(store, (tx) => openOf(tx, reminder.id));
    const flush = open.find(({ job }) => job === 'backflush');
    const others = open.filter((row) => detergent.has(row.job) && row.id !== flush?.id).map((row) => row.id);
    if (others.length > 0) await desk.act(reminder.cafe, reminder.id, others, { kind: "can't", reason: 'supplies' }, by(said), said.now);
    return transact(store, [reminder.cafe], async (tx) => {
      const owner = await tellOwners(tx, reminder.cafe, said.now);
      if (!flush) return { kind: 'say', message: message([words.in(said.locale)(owner === null ? 'routine.water.told-nobody' : 'routine.water.told', { owner: owner ?? '' })]) };
      await post(tx, ids, said.now, { key: waterKey(flush.id), cafe: reminder.cafe, place: said.at, kind: 'routine.water', data: { occurrence: flush.id, owner }, priority: 'answer' });
      return { kind: 'noted' };
    });
  };

  const cannot: Supplies['cannot'] = async (said, reminder, why) => {
    if (why === 'supplies') return noDetergent(said, reminder);
    const told = await desk.act(reminder.cafe, reminder.id, undefined, { kind: "can't", reason: why ?? 'other' }, by(said), said.now);
    const say = words.in(said.locale);
    if (told.kind !== 'changed') return { kind: 'say', message: message([say('routine.gone')]) };
    const list = listed(told.jobs.map((row) => String(row.position)), said.locale);
    return { kind: 'say', message: message([say('routine.cant.heard', { jobs: list })], [button(say('routine.button.take-back'), press('routine.back', reminder.id))]) };
  };

  const drawWater = async (data: { readonly occurrence: string; readonly owner: string | null }): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const row = await occurrenceById(tx, data.occurrence);
      const cafe = row && (await cafeById(tx, row.cafe));
      if (!row || !cafe) return undefined;
      const say = words.in(cafe.language);
      if (row.state === 'done') {
        const rest = (await openOf(tx, row.reminder)).map((each) => `${each.position} ${jobShort(say, each.job, each.group_number)}`);
        const lines = [say(row.note === WATER_ONLY ? 'routine.water.noted' : 'routine.water.after-all', { name: row.by_name ?? '', time: clockTime(instant(row.done_at ?? 0), { locale: cafe.language, zone: cafe.zone }) }), ...(rest.length > 0 ? [say('routine.water.rest', { jobs: rest.join(', ') })] : [])];
        return message(lines, [...(rest.length > 0 ? [button(say('routine.button.rest'), press('routine.done', row.reminder), 'main')] : []), button(say('routine.button.take-back'), press('routine.back', row.reminder))]);
      }
      if (!isOpen(row.state as JobState)) return message([say('routine.water.left')], [button(say('routine.button.take-back'), press('routine.back', row.reminder))]);
      const told = data.owner === null ? say('routine.water.told-nobody') : say('routine.water.told', { owner: data.owner });
      return message([line(say('routine.water.ask'), 'strong'), say('routine.water.not'), told], [button(say('routine.water.done'), press('routine.water', row.id, 'done'), 'main'), button(say('routine.water.no'), press('routine.water', row.id, 'no'))]);
    });

  const pressWater = async (pressed: Pressed): Promise<Answer> => {
    const [id = '', how = ''] = pressed.press.ids;
    const row = await read(store, (tx) => occurrenceById(tx, id));
    if (!row) return { kind: 'redraw', message: message([words.in(pressed.locale)('routine.gone')]) };
    const what = how === 'done' ? ({ kind: 'done', checked: true } as const) : ({ kind: "can't", reason: 'supplies' } as const);
    await desk.act(row.cafe, row.reminder, [id], what, by(pressed), pressed.now, pressed.shown?.key, async (tx) => {
      if (how === 'done') await tx.updateTable('occurrence').set({ note: WATER_ONLY }).where('id', '=', id).execute();
    });
    const version = pressed.shown && (await read(store, (tx) => tx.selectFrom('outbox').select('version').where('key', '=', pressed.shown?.key ?? '').executeTakeFirst()));
    const drawn = await drawWater({ occurrence: id, owner: null });
    return drawn ? { kind: 'redraw', message: drawn, ...(pressed.shown && version ? { shows: { key: pressed.shown.key, version: version.version } } : {}) } : { kind: 'noted' };
  };

  const drawOut = async (data: { readonly cafe: string; readonly since: number }): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const cafe = await cafeById(tx, data.cafe);
      if (!cafe) return undefined;
      const say = words.in(cafe.language);
      const to = (what: string) => button(say(`routine.out.${what}`), press('routine.out', cafe.id, what));
      return message([line(say('routine.out.first', { cafe: shortened(cafe.name, 20) }), 'strong'), say('routine.out.since', { time: clockTime(instant(data.since), { locale: cafe.language, zone: cafe.zone }) })], [to('ordered'), button(say('routine.out.have'), press('routine.out-where', cafe.id)), to('remind')]);
    });

  const tellBar = async (tx: Tx, cafeId: string, text: string, key: string, now: Instant): Promise<void> => {
    const cafe = await cafeById(tx, cafeId);
    if (cafe?.place) await post(tx, ids, now, { key, cafe: cafeId, place: placeId(cafe.place), kind: SAID, data: saidMessage(message([text])), priority: 'other', silent: true });
  };

  const pressOut = async (pressed: Pressed): Promise<Answer> => {
    const [cafeId = '', what = ''] = pressed.press.ids;
    const say = words.in(pressed.locale);
    return transact(store, [cafeId], async (tx) => {
      const cafe = await cafeById(tx, cafeId);
      if (!cafe) return { kind: 'redraw', message: message([say('chat.tooOld')]) };
      if (what === 'ordered') {
        await tellBar(tx, cafeId, words.in(cafe.language)('routine.out.ordered-bar', { name: pressed.by.name }), `ordered.${cafeId}.${pressed.now}`, pressed.now);
        return { kind: 'redraw', message: message([say('routine.out.ordered-noted')]) };
      }
      const today = instantOf(dateAt(pressed.now, cafe.zone), NEXT_ASK, cafe.zone);
      const at = today > pressed.now ? today : instantOf(plusDays(dateAt(pressed.now, cafe.zone), 1), NEXT_ASK, cafe.zone);
      await setTimer(tx, ids, pressed.now, { key: `out.again.${cafeId}`, cafe: cafeId, kind: 'routine.out-again', ref: cafeId, at });
      return { kind: 'redraw', message: message([say('routine.out.remind-noted', { time: clockTime(at, { locale: pressed.locale, zone: cafe.zone }) })]) };
    });
  };

  const pressWhere = async (pressed: Pressed): Promise<Answer> => ({
    kind: 'form',
    form: { title: words.in(pressed.locale)('routine.out.have-form'), submit: press('routine.out-there', pressed.press.ids[0] ?? ''), questions: [{ key: 'where', label: words.in(pressed.locale)('routine.out.have-ask'), answer: { kind: 'words', most: 40 } }] },
  });

  const pressThere = async (pressed: Pressed): Promise<Answer> => {
    const [cafeId = ''] = pressed.press.ids;
    const where = shortened((pressed.answers['where']?.[0] ?? '').trim(), 40);
    await transact(store, [cafeId], async (tx) => {
      const cafe = await cafeById(tx, cafeId);
      if (cafe && where !== '') await tellBar(tx, cafeId, words.in(cafe.language)('routine.out.have-bar', { name: pressed.by.name, where }), `have.${cafeId}.${pressed.now}`, pressed.now);
    });
    return { kind: 'redraw', message: message([words.in(pressed.locale)('routine.out.have-noted')]) };
  };

  const ofCafe = async (_tx: Tx, given: Press): Promise<string | undefined> => given.ids[0];
  return {
    cannot,
    presses: [
      { kind: 'routine.water', ack: 'update', right: 'answer', cafe: desk.cafeOfOccurrence, take: pressWater },
      { kind: 'routine.out', ack: 'update', right: 'own', cafe: ofCafe, take: pressOut },
      { kind: 'routine.out-where', ack: 'form', right: 'own', cafe: ofCafe, take: pressWhere },
      { kind: 'routine.out-there', ack: 'update', right: 'own', cafe: ofCafe, take: pressThere },
    ],
    timers: [{
      kind: 'routine.out-again',
      fire: async (tx, { ref }, now) => {
        await tellOwners(tx, ref, now);
      },
    }],
    notices: [
      { kind: 'routine.water', show: ({ data }) => drawWater(data as { occurrence: string; owner: string | null }) },
      { kind: 'routine.out', show: ({ data }) => drawOut(data as { cafe: string; since: number }) },
    ],
  };
};
