import { cafeById, membersOf, ownersOf, type Cafe } from '../cafe/records.ts';
import type { NoticeKind, Pressed, PressRoute, TimerKind } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, line, message, type Message } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import { direct, personId, placeId } from '../chat/who.ts';
import { isOpen, type JobState } from '../routine/answer.ts';
import { redrawList } from '../routine/thanks.ts';
import { occurrenceById, occurrencesOf, openReminders, writeChanges, type Occurrence } from '../routine/records.ts';
import { post } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { setTimer } from '../store/timers.ts';
import { read, transact } from '../store/transact.ts';
import { hours, later, type Instant } from '../time/instant.ts';
import { dayAt, instantOfDay } from '../time/wall-time.ts';
import { firstMachine, whoIs, type Desk, type Looked } from './card-desk.ts';
import { marksMessage } from './card-gate-views.ts';
import { forgetShown, noteShown, shownById, shownFor } from './card-records.ts';

export type Newcomer = { readonly presses: readonly PressRoute[]; readonly notices: readonly NoticeKind[]; readonly timers: readonly TimerKind[] };

/** When the owner hears that nobody who was shown a job was there. */
const MORNING = 9 * 60;

type Rota = { readonly cafe: string; readonly job: string; readonly person: string; readonly name: string };

/** What somebody can do who was never shown a job, and how an owner says that they have been. */
export const createNewcomer = (desk: Desk): Newcomer => {
  const { store, words, ids, book } = desk.needs;

  const nextMorning = (cafe: Cafe, now: Instant): Instant => {
    const { day, minutes } = dayAt(now, cafe.zone);
    return instantOfDay(minutes < MORNING ? day : day + 1, MORNING, cafe.zone);
  };

  const openJobs = async (tx: Tx, cafe: string): Promise<readonly Occurrence[]> => {
    const lists = await openReminders(tx, [cafe]);
    const rows: Occurrence[] = [];
    for (const list of lists) rows.push(...(await occurrencesOf(tx, list.id)));
    return rows.filter((row) => isOpen(row.state as JobState));
  };

  /** Jobs of the routine that anyone may do with a card in hand. */
  const harmless = new Map([...book.cards.values()].filter(({ training }) => training === 'none').flatMap((card) => card.routine.map((job) => [job, card.job] as const)));

  const pressAlone = async (pressed: Pressed): Promise<Answer> => {
    const [cafeId = '', job = ''] = pressed.press.ids;
    const say = words.in(pressed.locale);
    const card = book.cards.get(job);
    if (!card) return { kind: 'private', message: message([say('cards.none')]) };
    const { noted, other } = await transact(store, [cafeId], async (tx) => {
      const cafe = await cafeById(tx, cafeId);
      const open = await openJobs(tx, cafeId);
      const mine = open.filter((row) => card.routine.includes(row.job));
      await writeChanges(tx, mine.map(({ id }) => ({ id, to: 'left over' as const, reason: 'not-shown' })), whoIs(pressed.by), pressed.now);
      for (const reminder of new Set(mine.map((row) => row.reminder))) await redrawList(tx, reminder, pressed.now);
      if (cafe && mine.length > 0) await setTimer(tx, ids, pressed.now, { key: `card.rota.${cafeId}.${job}.${pressed.by.id}`, cafe: cafeId, kind: 'card.rota', ref: JSON.stringify({ cafe: cafeId, job, person: pressed.by.id, name: pressed.by.name } satisfies Rota), at: nextMorning(cafe, pressed.now) });
      return { noted: mine.length > 0, other: open.find((row) => !mine.includes(row) && row.state === 'due' && harmless.has(row.job)) };
    });
    if (!other) return { kind: 'private', message: message([say(noted ? 'cards.alone' : 'cards.alone.nothing')]) };
    return {
      kind: 'private',
      message: message(
        [line(say(noted ? 'cards.alone' : 'cards.alone.nothing'), 'strong'), say('cards.alone.other', { n: other.position, job: say(`routine.job.${other.job}`) })],
        [button(say('cards.button.did', { n: other.position }), press('card.did', other.id), 'main'), button(say('cards.button.show-me'), press('card.read', cafeId, harmless.get(other.job) ?? ''))],
      ),
    };
  };

  const pressDid = async (pressed: Pressed): Promise<Answer> => {
    const row = await read(store, (tx) => occurrenceById(tx, pressed.press.ids[0] ?? ''));
    const say = words.in(pressed.locale);
    if (!row) return { kind: 'redraw', message: message([say('cards.gone')]) };
    await transact(store, [row.cafe], async (tx) => {
      const now = await occurrenceById(tx, row.id);
      if (!now || !isOpen(now.state as JobState)) return;
      await writeChanges(tx, [{ id: row.id, to: 'done' }], whoIs(pressed.by), pressed.now);
      await redrawList(tx, row.reminder, pressed.now);
    });
    return { kind: 'redraw', message: message([say('cards.welcome', { name: pressed.by.name })]) };
  };

  const pressColleague = async (pressed: Pressed): Promise<Answer> => {
    const [cafeId = '', job = ''] = pressed.press.ids;
    const say = words.in(pressed.locale);
    if (!book.cards.has(job)) return { kind: 'private', message: message([say('cards.none')]) };
    const posted = await transact(store, [cafeId], async (tx) => {
      const cafe = await cafeById(tx, cafeId);
      if (!cafe || cafe.place === null) return false;
      const marked = (await shownFor(tx, cafeId, job)).flatMap(({ how, person }) => (how === 'marked' && person !== null && person !== pressed.by.id ? [personId(person)] : []));
      // Asked again within the hour it is the same question.
      const key = `card.colleague.${cafeId}.${job}.${pressed.by.id}.${Math.floor(pressed.now / hours(1))}`;
      await post(tx, ids, pressed.now, { key, cafe: cafeId, place: placeId(cafe.place), kind: 'card.colleague', data: { cafe: cafeId, job, name: pressed.by.name }, priority: 'answer', notify: marked, notAfter: later(pressed.now, hours(2)) });
      return true;
    });
    return { kind: 'private', message: message([say(posted ? 'cards.colleague.asked' : 'cards.colleague.nowhere')]) };
  };

  const lookAt = async (tx: Tx, pressed: Pressed): Promise<Looked | undefined> => {
    const [cafe = '', job = ''] = pressed.press.ids;
    const machine = await firstMachine(tx, cafe);
    const room = machine === undefined ? undefined : await desk.enter(tx, cafe, machine, pressed.by);
    return room && desk.look(room, { cafe, machine: room.machine.id, job, group: null, caseId: null }, pressed.by, pressed.now);
  };

  const marks = async (pressed: Pressed): Promise<Message> =>
    read(store, async (tx) => {
      const looked = await lookAt(tx, pressed);
      if (!looked) return message([words.in(pressed.locale)('cards.none')]);
      const nameless = (await membersOf(tx, looked.cafe.id)).filter(({ person }) => person === null);
      return marksMessage(desk.show(looked.cafe, pressed.locale), looked, nameless);
    });

  const marking = (change: (tx: Tx, pressed: Pressed, cafe: string, job: string) => Promise<void>) => async (pressed: Pressed): Promise<Answer> => {
    const [cafe = '', job = ''] = pressed.press.ids;
    if (book.cards.has(job)) await transact(store, [cafe], (tx) => change(tx, pressed, cafe, job));
    return { kind: 'redraw', message: await marks(pressed) };
  };

  const mark = marking(async (tx, pressed, cafe, job) => {
    for (const id of pressed.picked) await noteShown(tx, ids, pressed.now, { cafe, job, person: id, name: pressed.pickedNames[id] ?? id, how: 'marked', marked_by: pressed.by.id, marked_name: pressed.by.name });
  });

  const markName = marking(async (tx, pressed, cafe, job) => {
    const nameless = (await membersOf(tx, cafe)).filter((member) => member.person === null && pressed.picked.includes(member.id));
    for (const { name } of nameless) await noteShown(tx, ids, pressed.now, { cafe, job, person: null, name, how: 'marked', marked_by: pressed.by.id, marked_name: pressed.by.name });
  });

  const unmark = marking(async (tx, pressed, cafe) => {
    for (const id of pressed.picked) if ((await shownById(tx, id))?.cafe === cafe) await forgetShown(tx, id);
  });

  const pressTrained = async (pressed: Pressed): Promise<Answer> => {
    const [cafe = '', job = '', person = ''] = pressed.press.ids;
    const say = words.in(pressed.locale);
    const data = pressed.shown?.data as Rota | undefined;
    const name = data?.person === person ? data.name : person;
    if (!book.cards.has(job)) return { kind: 'redraw', message: message([say('cards.none')]) };
    await transact(store, [cafe], (tx) => noteShown(tx, ids, pressed.now, { cafe, job, person, name, how: 'marked', marked_by: pressed.by.id, marked_name: pressed.by.name }));
    return { kind: 'redraw', message: message([say('cards.rota.marked', { name, title: say(`cards.${job}.title`) })]) };
  };

  const rotaMessage = (data: Rota): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const cafe = await cafeById(tx, data.cafe);
      const shown = (await shownFor(tx, data.cafe, data.job)).some(({ person, how }) => person === data.person && how === 'marked');
      if (!cafe || shown) return undefined;
      const say = words.in(cafe.language);
      return message(
        [line(say('cards.rota', { title: say(`cards.${data.job}.title`) }), 'strong'), say('cards.rota.who', { name: data.name })],
        [button(Array.from(say('cards.button.trained', { name: data.name })).slice(0, 20).join(''), press('card.trained', data.cafe, data.job, data.person)), button(say('cards.button.leave'), press('card.no-mark', data.cafe))],
      );
    });

  const colleagueMessage = async (data: { readonly cafe: string; readonly job: string; readonly name: string }): Promise<Message | undefined> => {
    const cafe = await read(store, (tx) => cafeById(tx, data.cafe));
    const say = cafe && words.in(cafe.language);
    return say && message([say('cards.colleague', { name: data.name }), say('cards.colleague.what', { title: say(`cards.${data.job}.title`) })]);
  };

  const cafeOf = async (tx: Tx, given: Press): Promise<string | undefined> => (await cafeById(tx, given.ids[0] ?? ''))?.id;
  const route = (kind: string, ack: PressRoute['ack'], right: PressRoute['right'], take: PressRoute['take'], cafe = cafeOf): PressRoute => ({ kind, ack, right, cafe, take });

  return {
    presses: [
      route('card.alone', 'private', 'answer', pressAlone),
      route('card.did', 'update', 'answer', pressDid, async (tx, given) => (await occurrenceById(tx, given.ids[0] ?? ''))?.cafe),
      route('card.colleague', 'private', 'answer', pressColleague),
      route('card.marks', 'private', 'own', async (pressed) => ({ kind: 'private', message: await marks(pressed) })),
      route('card.mark', 'update', 'own', mark),
      route('card.mark-name', 'update', 'own', markName),
      route('card.unmark', 'update', 'own', unmark),
      route('card.trained', 'update', 'own', pressTrained),
      route('card.no-mark', 'update', 'own', async (pressed) => ({ kind: 'redraw', message: message([words.in(pressed.locale)('cards.rota.left')]) })),
    ],
    notices: [
      { kind: 'card.rota', show: ({ data }) => rotaMessage(data as Rota) },
      { kind: 'card.colleague', show: ({ data }) => colleagueMessage(data as { cafe: string; job: string; name: string }) },
    ],
    timers: [
      {
        kind: 'card.rota',
        fire: async (tx, { ref }, now) => {
          const data = JSON.parse(ref) as Rota;
          // A gap in the rota is the owner's matter, and told to nobody else; without a yes to direct messages it waits in /card.
          for (const owner of (await ownersOf(tx, data.cafe)).filter(({ direct_ok }) => direct_ok === 1))
            await post(tx, ids, now, { key: `card.rota.${data.cafe}.${data.job}.${data.person}.${now}`, cafe: data.cafe, place: direct(personId(owner.person ?? '')), kind: 'card.rota', data, priority: 'other', notAfter: later(now, hours(12)) });
        },
      },
    ],
  };
};
