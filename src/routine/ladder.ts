import { z } from 'zod';
import { calendarOf } from '../cafe/calendar.ts';
import { afterRush } from '../cafe/hours-moments.ts';
import { addMember } from '../cafe/members.ts';
import { cafeById, membersOf, ownersOf, type Cafe, type Member } from '../cafe/records.ts';
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
import { agreed, askToHear, asHearing, hearing } from './ladder-person.ts';
import type { DoneNeeds } from './list-desk.ts';
import { occurrencesOf, reminderById, type Reminder } from './records.ts';

const STEPS = ['bar', 'owner', 'person'] as const;
type Step = (typeof STEPS)[number];
const AFTER = [30, 60, 120] as const;
/** After so many minutes a person hears whom the owner has just named. */
const FIRST_AFTER = 60;
const UNHEARD = 'routine.unheard';

/** Who hears when nobody answers, and after how many minutes; what is not there hears nothing. */
const minutesSchema = z.number().int().min(5).max(720).optional();
const schema = z.object({ bar: minutesSchema, owner: minutesSchema, person: minutesSchema, /** The member who is meant by `person`. */ member: z.string().optional() });
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

/** Whom the owner named, as long as they are in the café. */
const namedIn = async (tx: Tx, cafe: Cafe): Promise<Member | undefined> => {
  const { member } = readLadder(cafe.ladder);
  return member === undefined ? undefined : (await membersOf(tx, cafe.id)).find(({ id, person }) => id === member && person !== null);
};

/** The owner says who hears when a list stays without an answer. It ends by itself when the list closes. */
export const ladder = ({ store, words, ids }: DoneNeeds): { readonly presses: readonly PressRoute[]; readonly timers: readonly TimerKind[]; readonly notices: readonly NoticeKind[] } => {
  const shown = (say: Say, cafe: Cafe, named: Member | undefined): Message => {
    const set = readLadder(cafe.ladder);
    const step = (name: 'bar' | 'owner'): string => say(`routine.ladder.${name}`, { after: set[name] ?? 0 });
    const who = named ? say(agreed(named) ? 'routine.ladder.person' : 'routine.ladder.person-asked', { name: shortened(named.name, 20), after: set.person ?? 0 }) : say('routine.ladder.nobody');
    const choice = (name: Step, ask: string) => ({
      ask, press: press('routine.ladder-set', cafe.id, name),
      from: [{ value: '0', label: say('routine.ladder.never') }, ...AFTER.map((after) => ({ value: String(after), label: say('routine.ladder.after', { after }) }))],
    });
    const person = named ? choice('person', say('routine.ladder.person-when', { name: shortened(named.name, 20) })) : { ask: say('routine.ladder.person-ask'), press: press('routine.ladder-who', cafe.id), from: 'people' as const };
    return message([say('routine.ladder.head'), step('bar'), step('owner'), who], choice('bar', say('routine.ladder.bar-ask')), choice('owner', say('routine.ladder.owner-ask')), person, [button(say('routine.change.back'), press('routine.jobs', cafe.id))]);
  };

  const show = async (pressed: Pressed): Promise<Answer> =>
    read(store, async (tx): Promise<Answer> => {
      const cafe = await cafeById(tx, pressed.press.ids[0] ?? '');
      const say = words.in(pressed.locale);
      return { kind: 'redraw', message: cafe ? shown(say, cafe, await namedIn(tx, cafe)) : message([say('chat.tooOld')]) };
    });

  const write = (tx: Tx, cafe: string, set: Ladder): Promise<unknown> => tx.updateTable('cafe').set({ ladder: JSON.stringify(schema.parse(set)) }).where('id', '=', cafe).execute();

  const set = async (pressed: Pressed): Promise<Answer> => {
    const [id = '', step = ''] = pressed.press.ids;
    const after = Number(pressed.picked[0] ?? 0);
    await transact(store, [id], async (tx) => {
      const cafe = await cafeById(tx, id);
      if (!cafe || !isStep(step)) return;
      const { [step]: _before, member, ...rest } = readLadder(cafe.ladder);
      const kept = member === undefined || (step === 'person' && after === 0) ? {} : { member };
      await write(tx, id, { ...rest, ...kept, ...(after > 0 ? { [step]: after } : {}) });
    });
    return show(pressed);
  };

  /** Whoever is named is asked first: nobody is written to who has not said yes. */
  const name = async (pressed: Pressed): Promise<Answer> => {
    const [id = ''] = pressed.press.ids;
    const [picked] = pressed.picked;
    await transact(store, [id], async (tx) => {
      const cafe = await cafeById(tx, id);
      if (!cafe || picked === undefined) return;
      const person = personId(picked);
      await addMember(tx, ids, pressed.now, id, { person, name: shortened(pressed.pickedNames[picked] ?? picked, 40), role: 'bar' });
      const member = (await membersOf(tx, id)).find((each) => each.person === person);
      if (!member || member.role === 'bar phone') return;
      const { person: after = FIRST_AFTER, ...rest } = readLadder(cafe.ladder);
      await write(tx, id, { ...rest, person: after, member: member.id });
      if (person === pressed.by.id) await asHearing(tx, member, true);
      else if (!agreed(member)) await askToHear(tx, ids, cafe, member, pressed);
    });
    return show(pressed);
  };

  const ownersPlaces = async (tx: Tx, cafe: Cafe): Promise<readonly PlaceId[]> =>
    cafe.owner_place === null ? (await ownersOf(tx, cafe.id)).filter(({ direct_ok }) => direct_ok === 1).map(({ person }) => direct(personId(person ?? ''))) : [placeId(cafe.owner_place)];

  const placesFor = async (tx: Tx, cafe: Cafe, step: string): Promise<readonly PlaceId[]> => {
    if (step !== 'person') return ownersPlaces(tx, cafe);
    const named = await namedIn(tx, cafe);
    return named?.person != null && agreed(named) ? [direct(personId(named.person))] : [];
  };

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
      for (const place of await placesFor(tx, cafe, step)) await post(tx, ids, now, { key: `${UNHEARD}.${id}.${place}`, cafe: cafe.id, place, kind: UNHEARD, data: { reminder: id, ...(step === 'person' ? { to: 'person' } : {}) }, priority: 'other', notAfter: later(instant(reminder.due_at), hours(6)) });
    },
  };

  const notice: NoticeKind = {
    kind: UNHEARD,
    show: ({ data }) =>
      read(store, async (tx) => {
        const told = data as { reminder: string; to?: string };
        const reminder = await reminderById(tx, told.reminder);
        const cafe = reminder && (await cafeById(tx, reminder.cafe));
        if (!reminder || !cafe || reminder.state !== 'open') return undefined;
        const say = words.in(cafe.language);
        const time = clockTime(instant(reminder.due_at), { locale: cafe.language, zone: cafe.zone });
        const change = told.to === 'person' ? button(say('routine.hears.button.stop'), press('routine.hears', cafe.id, readLadder(cafe.ladder).member ?? '', 'no')) : button(say('routine.ladder.button'), press('routine.ladder', cafe.id));
        return message([line(say('routine.unheard', { cafe: shortened(cafe.name, 20), time }), 'strong'), say('routine.unheard.once')], [change]);
      }),
  };

  const hears = hearing({ store, words }, async (tx, cafe) => {
    const { person: _after, member: _member, ...rest } = readLadder(cafe.ladder);
    await write(tx, cafe.id, rest);
  });
  const ofCafe = async (_tx: Tx, given: Press): Promise<string | undefined> => given.ids[0];
  return {
    presses: [
      { kind: 'routine.ladder', ack: 'update', right: 'own', cafe: ofCafe, take: show },
      { kind: 'routine.ladder-set', ack: 'update', right: 'own', cafe: ofCafe, take: set },
      { kind: 'routine.ladder-who', ack: 'update', right: 'own', cafe: ofCafe, take: name },
      hears.press,
    ],
    timers: [rung],
    notices: [notice, hears.notice],
  };
};
