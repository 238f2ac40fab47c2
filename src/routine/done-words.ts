import { cafeById, membersOf } from '../cafe/records.ts';
import { secondLanguage } from '../cafe/languages.ts';
import { mayIn } from '../cafe/rights.ts';
import type { Said, TickMarkRoute, WordsRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message, type Message } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import { dialogueOf } from '../store/dialogue.ts';
import { post } from '../store/post.ts';
import { read } from '../store/transact.ts';
import { instant } from '../time/instant.ts';
import { clockTime } from '../words/format.ts';
import { isOpen, type JobState } from './answer.ts';
import { butMessage, whyMessage } from './ask-views.ts';
import type { EarlyDesk } from './early.ts';
import { by, type DoneNeeds, type ListDesk, type Thanks, type Who } from './list-desk.ts';
import { jobShort } from './job-name.ts';
import { lastDone, occurrencesOf, openReminders, reminderById, type Occurrence, type Reminder } from './records.ts';
import type { Lexicon } from './lexicons.ts';
import { asksSubstitute, readReply, type Reply } from './reply.ts';
import type { Supplies } from './supplies.ts';
import { shortAnswers, type LaterReply, type Part } from './short-answers.ts';
import type { ShortReply } from './short-words.ts';
import { nextThanks, thankedFor } from './thanks.ts';
import { ASKED_IN_REPLY } from './views.ts';

/** Kinds of replies that name jobs of one list, where in general words they say nothing sure. */
const NAMES_JOBS: readonly string[] = ['done', 'part', 'but', 'later', 'over', 'yesterday'] satisfies readonly Reply['kind'][];
const SHORT: readonly string[] = ['wait', 'later', 'over', 'numbers', 'not for us'] satisfies readonly ShortReply['kind'][];
const isShort = (reply: Reply): reply is LaterReply => SHORT.includes(reply.kind);

/** Answers to a list in words, and by a mark on it. */
export const wordRoutes = (needs: DoneNeeds, desk: ListDesk, supplies: Supplies, early: EarlyDesk): { readonly words: readonly WordsRoute[]; readonly tickMarks: readonly TickMarkRoute[] } => {
  const { store, words, ids, lexicons } = needs;
  const { ending, act, alreadySaid, cafeFor } = desk;
  const short = shortAnswers(needs, desk);

  const namesFor = (row: Occurrence, locale: string): readonly string[] => words.in(locale)(`routine.job.${row.job}.names`).split(', ');

  /** `language`: the one in which it was understood. */
  const readFor = (text: string, rows: readonly Occurrence[], locale: string, people: readonly string[], second?: string): Reply & { readonly language?: string } => {
    const languages = [...new Set([words.nearest(locale), ...(second === undefined ? [] : [words.nearest(second)]), 'en'])].filter((language) => lexicons.has(language));
    const named = (language: string) => rows.map((row) => ({ id: row.id, position: row.position, names: namesFor(row, language), group: row.group_number }));
    const replies = languages.map((language) => ({ ...readReply(text, lexicons.get(language) as Lexicon, named(language), people), language }));
    return replies.find((reply) => reply.kind === 'done') ?? replies.find((reply) => reply.kind !== 'none') ?? { kind: 'none' };
  };

  const sayDone = async (said: Said, reminder: Reminder, reply: Extract<Reply, { kind: 'done' }> & { readonly language?: string }, two: boolean): Promise<Answer> => {
    const members = await read(store, (tx) => membersOf(tx, reminder.cafe));
    const named = reply.by === undefined ? undefined : members.find((member) => member.name === reply.by);
    const who: Who = reply.by === undefined ? by(said) : { person: named?.person ?? null, name: reply.by };
    const told = await act(reminder.cafe, reminder.id, reply.jobs, { kind: 'done', checked: false }, who, said.now, undefined, async (tx, changed) => {
      const data: Thanks = { reminder: reminder.id, event: said.event, by: who.name, at: said.now, jobs: changed.map((row) => row.id), ...(two && reply.language !== undefined ? { language: reply.language } : {}) };
      for (const row of changed.filter(({ job }) => ending.has(job))) await tx.updateTable('occurrence').set({ reason: ASKED_IN_REPLY }).where('id', '=', row.id).where('state', '=', 'asked').execute();
      await post(tx, ids, said.now, { key: await nextThanks(tx, reminder.id), cafe: reminder.cafe, place: said.at, kind: 'routine.thanks', data, priority: 'answer' });
    });
    if (told.kind === 'changed' || (await read(store, (tx) => thankedFor(tx, reminder.id, said.event)))) return { kind: 'noted' };
    const zone = (await read(store, (tx) => cafeById(tx, reminder.cafe)))?.zone ?? 'UTC';
    return { kind: 'say', message: told.kind === 'already' ? alreadySaid(said, zone, told) : message([words.in(said.locale)('routine.gone')]) };
  };

  /** Lists a typed answer can mean: the one replied to, else those open here. */
  const candidates = async (said: Said): Promise<readonly Reminder[]> => {
    const data = said.reply?.data as { reminder?: string } | undefined;
    const replied = data?.reminder;
    if (replied !== undefined) {
      const reminder = await read(store, (tx) => reminderById(tx, replied));
      return reminder ? [reminder] : [];
    }
    return said.reply ? [] : read(store, (tx) => openReminders(tx, said.cafes));
  };

  const confirm = (said: Said, reminder: Reminder): Message => {
    const say = words.in(said.locale);
    return message([say('routine.unsure')], [button(say('routine.button.all'), press('routine.done', reminder.id), 'main'), button(say('routine.button.not-yet'), press('routine.not-yet', reminder.id))]);
  };

  const nothingOpen = async (said: Said): Promise<Answer> => {
    const soon = await early.offer(said, said.cafes);
    if (soon) return { kind: 'say', message: soon };
    const say = words.in(said.locale);
    const last = await read(store, (tx) => lastDone(tx, said.cafes));
    const zone = last && (await read(store, (tx) => cafeById(tx, last.cafe)))?.zone;
    const text = last && zone && last.done_at !== null ? say('routine.nothing-last', { job: jobShort(say, last.job, last.group_number), time: clockTime(instant(last.done_at), { locale: said.locale, zone }) }) : say('routine.nothing');
    return { kind: 'say', message: message([text]) };
  };

  /** The whole list, or what of it was named: of a list without such a job, everything is asked about. */
  const whatIsDone = (list: Reminder, reply: Reply, rows: readonly Occurrence[]): Press => {
    const left = reply.kind === 'done' ? rows.filter(({ id, state }) => isOpen(state as JobState) && !reply.jobs.includes(id)) : [];
    return left.length === 0 ? press('routine.done', list.id) : press('routine.but', list.id, left.map(({ position }) => position).join('.'));
  };

  const whichList = (said: Said, open: readonly (readonly [Reminder, string])[], done: (list: Reminder) => Press): Message => {
    const say = words.in(said.locale);
    const label = ([reminder, zone]: readonly [Reminder, string]): string => `${say(`routine.moment-short.${reminder.moment}`)} ${clockTime(instant(reminder.due_at), { locale: said.locale, zone })}`;
    return message([say('routine.which')], open.slice(0, 4).map((one) => button(label(one), done(one[0]))));
  };

  /** Something else was asked of this person here after the list came: what is short is an answer to that. */
  const isAskedSince = async (said: Said, list: Reminder): Promise<boolean> => {
    const open = await read(store, (tx) => dialogueOf(tx, said.at, said.by.id));
    return open !== undefined && open.asked_at > list.due_at;
  };

  /** Done but for some: what is going on by itself is noted, for it may hold detergent; the rest is asked with one press. */
  const sayBut = async (said: Said, reminder: Reminder, { open, still }: Extract<Reply, { kind: 'but' }>): Promise<Answer> => {
    const rows = (await read(store, (tx) => occurrencesOf(tx, reminder.id))).filter((row) => isOpen(row.state as JobState));
    const [but, rest] = [rows.filter(({ id }) => open.includes(id)), rows.filter(({ id }) => !open.includes(id))];
    const soaking = still ? but.filter(({ job }) => ending.has(job)) : [];
    if (soaking.length > 0) await act(reminder.cafe, reminder.id, soaking.map(({ id }) => id), { kind: 'soaking' }, by(said), said.now);
    return { kind: 'say', message: butMessage(words.in(said.locale), words.nearest(said.locale), reminder.id, { soaking, open: but.filter((row) => !soaking.includes(row)), rest }) };
  };

  /** Jobs now done at every group count as done; the others keep which groups are. */
  const sayPart = async (said: Said, reminder: Reminder, reply: Part, two: boolean): Promise<Answer> => {
    const told = await short.part(said, reminder, reply);
    if (!told) return { kind: 'say', message: confirm(said, reminder) };
    return told.whole.length > 0 ? sayDone(said, reminder, { kind: 'done', jobs: told.whole }, two) : { kind: 'say', message: told.answer };
  };

  /** The chat told that a list was answered but not in which words: one question with its button, rather than silence. */
  const unread = async (said: Said): Promise<Answer | undefined> => {
    const [list] = said.readable || !said.reply ? [] : await candidates(said);
    return list && list.state === 'open' && (await read(store, (tx) => mayIn(tx, list.cafe, said.by, 'answer'))) ? { kind: 'say', message: confirm(said, list) } : undefined;
  };

  const takeWords = async (said: Said): Promise<Answer | undefined> => {
    if (said.cafes.length === 0) return undefined;
    if (said.text === '') return unread(said);
    const open = await candidates(said);
    const rows = await read(store, async (tx) => new Map(await Promise.all(open.map(async (list) => [list.id, await occurrencesOf(tx, list.id)] as const))));
    const people = await read(store, async (tx) => (await Promise.all(said.cafes.map((cafe) => membersOf(tx, cafe)))).flat().map((member) => member.name));
    const [here] = said.cafes;
    const beside = here === undefined ? undefined : await read(store, async (tx) => { const cafe = await cafeById(tx, here); return cafe && secondLanguage(cafe); });
    const readAt = (list: Reminder) => readFor(said.text, rows.get(list.id) ?? [], said.locale, people, beside);
    const all = open.length === 1 && open[0] ? readAt(open[0]) : readFor(said.text, [], said.locale, people, beside);
    // Of several lists the one is meant whose jobs are named.
    const named = open.length > 1 && (all.kind === 'unsure' || all.kind === 'none') ? open.filter((list) => NAMES_JOBS.includes(readAt(list).kind)) : [];
    const [only] = named.length === 1 ? named : [];
    const [lists, reply] = only ? [[only], readAt(only)] : [open, all];
    // "Did you do the wands?" among colleagues is not for us.
    if (reply.kind === 'none' || (reply.kind === 'asked' && !said.addressed)) return undefined;
    if (reply.kind === 'back') return said.addressed ? short.back(said) : undefined;
    if (reply.kind === 'rinsed') return short.rinsed(said);
    const [first, second] = lists;
    if (!first) return reply.kind === 'done' ? nothingOpen(said) : undefined;
    // A list left open by others is no reason to read every "can't" in the channel as an answer to it.
    if (reply.kind === "can't" && reply.why !== 'supplies' && !said.reply && !(reply.bare && !(await isAskedSince(said, first)))) return undefined;
    // A word or two said to everybody, or to another question, is no answer to the list.
    if (isShort(reply) && (!said.addressed || (!said.reply && (await isAskedSince(said, first))))) return undefined;
    if (!(await read(store, (tx) => mayIn(tx, first.cafe, said.by, 'answer')))) return { kind: 'say', message: message([words.in(said.locale)('chat.barOnly')]) };
    if (isShort(reply)) return short.take(said, first, reply);
    if (reply.kind === 'not done') return { kind: 'say', message: message([words.in(said.locale)('routine.not-done')]) };
    if (second && reply.kind !== "can't") {
      const zones = await read(store, async (tx) => Promise.all(lists.map(async (list) => [list, (await cafeById(tx, list.cafe))?.zone ?? 'UTC'] as const)));
      return { kind: 'say', message: whichList(said, zones, (list) => whatIsDone(list, readAt(list), rows.get(list.id) ?? [])) };
    }
    if (reply.kind === 'asked') {
      const drawn = await desk.drawList(first.id, said.locale);
      return drawn && { kind: 'say', message: drawn };
    }
    if (reply.kind === 'unsure') return { kind: 'say', message: confirm(said, first) };
    if (reply.kind === 'yesterday') return short.yesterday(said, first, reply.jobs);
    if (reply.kind === 'part') return sayPart(said, first, reply, beside !== undefined);
    if (reply.kind === 'but') return sayBut(said, first, reply);
    if (reply.kind === 'done') return sayDone(said, first, reply, beside !== undefined);
    return reply.why === null ? { kind: 'say', message: whyMessage(words.in(said.locale), first.id) } : supplies.cannot(said, first, reply.why);
  };

  const tickMark: TickMarkRoute = {
    kind: 'reminder',
    take: async (mark) => {
      if (!mark.given) return undefined;
      const id = (mark.shown.data as { reminder: string }).reminder;
      const cafe = await cafeFor(id);
      if (!cafe || !(await read(store, (tx) => mayIn(tx, cafe.id, mark.by, 'answer')))) return undefined;
      await act(cafe.id, id, undefined, { kind: 'done', checked: false }, by(mark), mark.now);
      return undefined;
    },
  };

  /** Asked what else may go into the machine: never anything but its own detergent, or water alone. */
  const refuseSubstitute = async (said: Said): Promise<Answer | undefined> => {
    const asked = said.cafes.length > 0 && [...new Set([words.nearest(said.locale), 'en'])].some((language) => asksSubstitute(said.text, lexicons.get(language) ?? lexicons.get('en') as Lexicon));
    return asked ? { kind: 'say', message: message([words.in(said.locale)('routine.substitute.no'), words.in(said.locale)('routine.substitute.water')]) } : undefined;
  };

  return { words: [{ name: 'routine.substitute', order: 19, take: refuseSubstitute }, { name: 'routine.reply', order: 20, take: takeWords }], tickMarks: [tickMark] };
};
