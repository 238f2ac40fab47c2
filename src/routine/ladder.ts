import { z } from 'zod';
import { calendarOf } from '../cafe/calendar.ts';
import { afterRush } from '../cafe/hours-moments.ts';
import { cafeById, ownersOf, type Cafe } from '../cafe/records.ts';
import type { NoticeKind, Pressed, PressRoute, TimerKind } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, line, message, type Message } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import { direct, personId, placeId, type PlaceId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import { post } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { setTimer } from '../store/timers.ts';
import { read, transact } from '../store/transact.ts';
import { hours, instant, later, minutes, type Instant } from '../time/instant.ts';
import type { Say } from '../words/catalogue.ts';
import { clockTime, shortened } from '../words/format.ts';
import type { DoneNeeds } from './list-desk.ts';
import { occurrencesOf, reminderById, type Reminder } from './records.ts';

const STEPS = ['bar', 'owner'] as const;
type Step = (typeof STEPS)[number];
const AFTER = [30, 60, 120] as const;
const UNHEARD = 'routine.unheard';

/** Who hears when nobody answers, and after how many minutes; what is not there hears nothing. */
const schema = z.object({ bar: z.number().int().min(5).max(720).optional(), owner: z.number().int().min(5).max(720).optional() });
export type Ladder = z.infer<typeof schema>;

export const readLadder = (text: string | null): Ladder => (text === null ? {} : schema.parse(JSON.parse(text)));

const isStep = (text: string): text is Step => (STEPS as readonly string[]).includes(text);

/** Every rung of a list gets its timer when the list is made; each fires once, and not once somebody has answered. */
export const setRungs = async (tx: Tx, ids: Ids, cafe: Pick<Cafe, 'id' | 'ladder'>, reminder: Pick<Reminder, 'id' | 'due_at'>, now: Instant): Promise<void> => {
  const ladder = readLadder(cafe.ladder);
  for (const step of STEPS) {
    const after = ladder[step];
    if (after !== undefined) await setTimer(tx, ids, now, { key: `routine.rung.${reminder.id}.${step}`, cafe: cafe.id, kind: 'routine.rung', ref: `${step}.${reminder.id}`, at: later(instant(reminder.due_at), minutes(after)) });
  }
};

/** The owner says who hears when a list stays without an answer. It ends by itself when the list closes. */
export const ladder = ({ store, words, ids }: DoneNeeds): { readonly presses: readonly PressRoute[]; readonly timers: readonly TimerKind[]; readonly notices: readonly NoticeKind[] } => {
  const shown = (say: Say, cafe: Cafe): Message => {
    const set = readLadder(cafe.ladder);
    const step = (name: Step): string => say(`routine.ladder.${name}`, { after: set[name] ?? 0 });
    const choice = (name: Step) => ({
      ask: say(`routine.ladder.${name}-ask`), press: press('routine.ladder-set', cafe.id, name),
      from: [{ value: '0', label: say('routine.ladder.never') }, ...AFTER.map((after) => ({ value: String(after), label: say('routine.ladder.after', { after }) }))],
    });
    return message([say('routine.ladder.head'), step('bar'), step('owner')], choice('bar'), choice('owner'), [button(say('routine.change.back'), press('routine.jobs', cafe.id))]);
  };

  const show = async (pressed: Pressed): Promise<Answer> =>
    read(store, async (tx): Promise<Answer> => {
      const cafe = await cafeById(tx, pressed.press.ids[0] ?? '');
      const say = words.in(pressed.locale);
      return { kind: 'redraw', message: cafe ? shown(say, cafe) : message([say('chat.tooOld')]) };
    });

  const set = async (pressed: Pressed): Promise<Answer> => {
    const [id = '', step = ''] = pressed.press.ids;
    const after = Number(pressed.picked[0] ?? 0);
    await transact(store, [id], async (tx) => {
      const cafe = await cafeById(tx, id);
      if (!cafe || !isStep(step)) return;
      const { [step]: _before, ...rest } = readLadder(cafe.ladder);
      await tx.updateTable('cafe').set({ ladder: JSON.stringify(schema.parse(after > 0 ? { ...rest, [step]: after } : rest)) }).where('id', '=', id).execute();
    });
    return show(pressed);
  };

  const ownersPlaces = async (tx: Tx, cafe: Cafe): Promise<readonly PlaceId[]> =>
    cafe.owner_place === null ? (await ownersOf(tx, cafe.id)).filter(({ direct_ok }) => direct_ok === 1).map(({ person }) => direct(personId(person ?? ''))) : [placeId(cafe.owner_place)];

  const rung: TimerKind = {
    kind: 'routine.rung',
    fire: async (tx, { ref }, now) => {
      const [step = '', id = ''] = ref.split('.');
      const reminder = await reminderById(tx, id);
      const cafe = reminder && (await cafeById(tx, reminder.cafe));
      const heard = reminder && (await occurrencesOf(tx, id)).some(({ state }) => state !== 'due');
      if (!reminder || !cafe || cafe.state !== 'live' || reminder.state !== 'open' || heard || now - reminder.due_at > hours(6)) return;
      const calendar = calendarOf(cafe);
      const notBefore = calendar ? afterRush(calendar, now) : now;
      if (step === 'bar') return post(tx, ids, now, { key: `again.${id}.rung`, cafe: cafe.id, place: placeId(reminder.place), kind: 'reminder', data: { reminder: id }, priority: 'reminder', notBefore, notAfter: later(instant(reminder.due_at), hours(6)) });
      for (const place of await ownersPlaces(tx, cafe)) await post(tx, ids, now, { key: `${UNHEARD}.${id}.${place}`, cafe: cafe.id, place, kind: UNHEARD, data: { reminder: id }, priority: 'other', notAfter: later(instant(reminder.due_at), hours(6)) });
    },
  };

  const notice: NoticeKind = {
    kind: UNHEARD,
    show: ({ data }) =>
      read(store, async (tx) => {
        const reminder = await reminderById(tx, (data as { reminder: string }).reminder);
        const cafe = reminder && (await cafeById(tx, reminder.cafe));
        if (!reminder || !cafe || reminder.state !== 'open') return undefined;
        const say = words.in(cafe.language);
        const time = clockTime(instant(reminder.due_at), { locale: cafe.language, zone: cafe.zone });
        return message([line(say('routine.unheard', { cafe: shortened(cafe.name, 20), time }), 'strong'), say('routine.unheard.once')], [button(say('routine.ladder.button'), press('routine.ladder', cafe.id))]);
      }),
  };

  const ofCafe = async (_tx: Tx, given: Press): Promise<string | undefined> => given.ids[0];
  return {
    presses: [
      { kind: 'routine.ladder', ack: 'update', right: 'own', cafe: ofCafe, take: show },
      { kind: 'routine.ladder-set', ack: 'update', right: 'own', cafe: ofCafe, take: set },
    ],
    timers: [rung],
    notices: [notice],
  };
};
