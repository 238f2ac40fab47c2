import { cafeById, machineById, machinesOf, type Machine } from '../cafe/records.ts';
import { mayIn } from '../cafe/rights.ts';
import { WHICH_CAFE, type CommandRoute, type Here, type NoticeKind, type Pressed, type PressRoute, type TimerKind, type WordsRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message, type Message } from '../chat/message.ts';
import { placeId } from '../chat/who.ts';
import { createListDesk } from '../routine/list-desk.ts';
import { occurrenceById, openReminders, occurrencesOf } from '../routine/records.ts';
import { post } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { hours, type Instant } from '../time/instant.ts';
import { asksClosing } from './closing.ts';
import { lookKey, type LookDesk } from './look-desk.ts';
import { afterStep, valueOf, type LookStep } from './look-steps.ts';
import { offerMessage, questionMessage, resultMessage, verdictLine, type LookView } from './look-views.ts';
import { handleOf, sinceOf } from './record-evidence.ts';
import { historyOf, insertLook, insertReading, lookById, moveLook, NOT_READ, openLookOf, recordOf, type Look } from './records.ts';

/** A look left half-way is gone on with for so long; later it is begun anew. */
const STILL_OPEN = hours(2);

const plainWords = (text: string): string => text.toLowerCase().replace(/[^\p{L}\p{N} ]+/gu, ' ').replace(/\s+/g, ' ').trim();

/** The weekly look: a few taps a group, a verdict on each. */
export const createLooking = (desk: LookDesk) => {
  const { store, words, ids } = desk.needs;
  const lists = createListDesk(desk.needs);

  const viewOf = async (tx: Tx, look: Look): Promise<LookView> => {
    const groups = await desk.groupNumbers(tx, look.machine);
    return { look: look.id, step: look.step as LookStep, group: look.group_number, groups: groups.length, hot: look.machine_state === 'hot', first: look.group_number === groups[0] };
  };

  /** The open question, with the verdict on the group before where one was just reached. */
  const asking = async (tx: Tx, here: Here, look: Look): Promise<Message> => {
    const found = await desk.placeOf(tx, look);
    const say = words.in(here.locale);
    if (!found) return message([say('look.gone')]);
    if (look.step === 'done') return message([say('look.done')]);
    const show = desk.show(found.cafe, here.locale);
    const view = await viewOf(tx, look);
    const groups = await desk.groupNumbers(tx, look.machine);
    const before = look.step === 'handle' ? groups[groups.indexOf(look.group_number) - 1] : undefined;
    const verdict = before === undefined ? undefined : await desk.verdictOf(tx, look.id, before);
    return questionMessage(show, view, verdict && verdictLine(show, verdict));
  };

  const begin = async (here: Here, cafe: string, occurrence: string | null): Promise<Message> =>
    transact(store, [cafe], async (tx) => {
      const row = occurrence === null ? undefined : await tx.selectFrom('occurrence').selectAll().where('id', '=', occurrence).where('cafe', '=', cafe).executeTakeFirst();
      const machine = row?.machine ? await machineById(tx, row.machine) : (await machinesOf(tx, cafe))[0];
      if (!machine) return message([words.in(here.locale)('look.no-machine')]);
      const open = await openLookOf(tx, machine.id, here.by.id, here.now - STILL_OPEN);
      if (open) return asking(tx, here, open);
      const groups = await desk.groupNumbers(tx, machine.id);
      const look: Look = {
        id: ids(here.now), cafe, machine: machine.id, occurrence: row?.id ?? null, by_person: here.by.id, by_name: here.by.name, machine_state: null,
        group_number: groups[0] ?? 1, step: 'state', started_at: here.now, ended_at: null,
      };
      await insertLook(tx, look);
      return asking(tx, here, look);
    });

  const finish = async (tx: Tx, look: Look, pressed: Pressed): Promise<void> => {
    const cafe = await cafeById(tx, look.cafe);
    await post(tx, ids, pressed.now, { key: lookKey(look.id), cafe: look.cafe, place: cafe?.place ? placeId(cafe.place) : pressed.at, kind: 'look.result', data: { look: look.id }, priority: 'answer' });
  };

  /** Does the handle stand as it could not, unless the group closes to the other side? */
  const standsOddly = async (tx: Tx, look: Look, machine: Machine, value: string, now: Instant): Promise<boolean> => {
    if (look.step !== 'handle' || value === NOT_READ) return false;
    const history = historyOf(machine, await recordOf(tx, machine.id), look.group_number);
    return asksClosing(history.closes, handleOf(value), sinceOf(history, now).age, desk.needs.constants);
  };

  type Taken = { readonly message: Message; readonly done?: Look };

  /** One answer. A press on a question already answered changes nothing and shows the open one. */
  const answer = async (tx: Tx, pressed: Pressed, look: Look): Promise<Taken> => {
    const [, group = '', step = '', word = ''] = pressed.press.ids;
    const value = valueOf(look.step as LookStep, word);
    const found = await desk.placeOf(tx, look);
    if (step !== look.step || Number(group) !== look.group_number || value === undefined || !found) return { message: await asking(tx, pressed, look) };
    const state = look.step === 'state' ? value : look.machine_state;
    if (look.step !== 'state')
      await insertReading(tx, {
        id: ids(pressed.now), cafe: look.cafe, machine: look.machine, group_number: look.group_number, look: look.id, what: look.step, value,
        machine_state: state ?? 'hot', by_person: pressed.by.id, by_name: pressed.by.name, at: pressed.now, superseded_by: null,
      });
    const groups = await desk.groupNumbers(tx, look.machine);
    const next = afterStep({ step: look.step as LookStep, group: look.group_number }, state === 'cold' ? 'cold' : 'hot', groups, await standsOddly(tx, look, found.machine, value, pressed.now));
    const moved: Look = { ...look, machine_state: state, step: next.step, group_number: next.group, ended_at: next.step === 'done' ? pressed.now : null };
    await moveLook(tx, look.id, { machine_state: state, step: moved.step, group_number: moved.group_number, ended_at: moved.ended_at });
    if (look.step !== 'state' && (next.group !== look.group_number || next.step === 'done')) await desk.settle(tx, moved, found.cafe, found.machine, look.group_number, pressed.now);
    if (next.step === 'done') await finish(tx, moved, pressed);
    return { message: await asking(tx, pressed, moved), ...(next.step === 'done' ? { done: moved } : {}) };
  };

  /** The job on the list of the day is done with it. */
  const tickOff = async (look: Look, pressed: Pressed): Promise<void> => {
    const rows = await read(store, async (tx) => {
      const begun = look.occurrence === null ? undefined : await occurrenceById(tx, look.occurrence);
      const open = (await Promise.all((await openReminders(tx, [look.cafe])).map((reminder) => occurrencesOf(tx, reminder.id)))).flat();
      return [...(begun ? [begun] : []), ...open.filter(({ id, job, machine }) => id !== begun?.id && job === 'seal-look' && (machine === look.machine || machine === null))];
    });
    for (const row of rows)
      await lists.act(look.cafe, row.reminder, [row.id], { kind: 'done', checked: true }, { person: pressed.by.id, name: pressed.by.name }, pressed.now);
  };

  const say = async (pressed: Pressed): Promise<Answer> => {
    const id = pressed.press.ids[0] ?? '';
    const known = await read(store, (tx) => lookById(tx, id));
    const none = message([words.in(pressed.locale)('look.gone')]);
    if (!known) return { kind: 'redraw', message: none };
    if (known.by_person !== pressed.by.id) return { kind: 'noted', private: message([words.in(pressed.locale)('look.not-yours', { name: known.by_name })]) };
    const taken = await transact(store, [known.cafe], async (tx): Promise<Taken> => {
      const look = await lookById(tx, id);
      return look ? answer(tx, pressed, look) : { message: none };
    });
    if (taken.done) await tickOff(taken.done, pressed);
    return { kind: 'redraw', message: taken.message };
  };

  const start = async (pressed: Pressed): Promise<Answer> => {
    const [cafe = '', occurrence = '-'] = pressed.press.ids;
    return { kind: 'private', message: await begin(pressed, cafe, occurrence === '-' ? null : occurrence) };
  };

  const mayAnswer = (here: Here, cafe: string): Promise<boolean> => read(store, (tx) => mayIn(tx, cafe, here.by, 'answer'));

  const command: CommandRoute = {
    name: 'look',
    take: async (given) => {
      const [cafe] = given.cafes;
      if (cafe === undefined) return { kind: 'private', message: message([words.in(given.locale)('look.no-cafe')]) };
      if (given.cafes.length > 1) return WHICH_CAFE;
      if (!(await mayAnswer(given, cafe))) return { kind: 'private', message: message([words.in(given.locale)('chat.barOnly')]) };
      return { kind: 'private', message: await begin(given, cafe, null) };
    },
  };

  const asked: WordsRoute = {
    name: 'look.ask',
    order: 34,
    take: async (said) => {
      const [cafe] = said.cafes;
      const phrases = [said.locale, 'en'].flatMap((locale) => words.in(locale)('look.words.ask').split(', '));
      if (cafe === undefined || !phrases.some((phrase) => plainWords(phrase) === plainWords(said.text))) return undefined;
      if (said.cafes.length > 1) return WHICH_CAFE;
      if (!(await mayAnswer(said, cafe))) return { kind: 'say', message: message([words.in(said.locale)('chat.barOnly')]) };
      const found = await read(store, (tx) => cafeById(tx, cafe));
      return found && { kind: 'say', message: offerMessage(desk.show(found, said.locale), cafe, null) };
    },
  };

  const result: NoticeKind = {
    kind: 'look.result',
    show: ({ data, now }) =>
      read(store, async (tx) => {
        const look = await lookById(tx, (data as { look: string }).look);
        const found = look && (await desk.placeOf(tx, look));
        if (!look || !found) return undefined;
        const view = await desk.resultOf(tx, look);
        return resultMessage(desk.show(found.cafe), view, await desk.sizesFor(tx, found.cafe, found.machine, view, now));
      }),
  };

  const again: NoticeKind = {
    kind: 'look.again',
    show: ({ data, cafe: id }) =>
      read(store, async (tx) => {
        const found = id === null ? undefined : await cafeById(tx, id);
        return found && offerMessage(desk.show(found), found.id, (data as { group: number }).group);
      }),
  };

  const timer: TimerKind = {
    kind: 'look.again',
    fire: async (tx, { ref, cafe: id, at }, now) => {
      const cafe = id === null ? undefined : await cafeById(tx, id);
      const group = Number(ref.split('.').at(-1));
      if (cafe?.place) await post(tx, ids, now, { key: `look.again.${ref}.${at}`, cafe: cafe.id, place: placeId(cafe.place), kind: 'look.again', data: { group }, priority: 'reminder', silent: true });
    },
  };

  const ofCafe: NonNullable<PressRoute['cafe']> = async (tx, given) => (await cafeById(tx, given.ids[0] ?? ''))?.id;
  const ofLook: NonNullable<PressRoute['cafe']> = async (tx, given) => (await lookById(tx, given.ids[0] ?? ''))?.cafe;

  return {
    begin,
    ofLook,
    presses: [
      { kind: 'look.start', ack: 'private', right: 'answer', cafe: ofCafe, take: start },
      { kind: 'look.say', ack: 'update', right: 'answer', cafe: ofLook, take: say },
    ] satisfies readonly PressRoute[],
    words: [asked],
    commands: [command],
    notices: [result, again],
    timers: [timer],
  };
};
