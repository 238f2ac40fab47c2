import { groupsOf } from '../cafe/records.ts';
import type { Said } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { Tx } from '../store/store.ts';
import { read } from '../store/transact.ts';
import { later, minutes, hours } from '../time/instant.ts';
import { clockTime, inLines, listed } from '../words/format.ts';
import { isOpen, type JobState } from './answer.ts';
import { laterMessage, numbersMessage, whyMessage } from './ask-views.ts';
import { shortOf } from './job-name.ts';
import { by, type DoneNeeds, type ListDesk } from './list-desk.ts';
import { machineNumbers } from './machine-numbers.ts';
import { putOff } from './put-off.ts';
import { occurrenceById, occurrencesOf, reminderById, type Occurrence, type Reminder } from './records.ts';
import type { Reply } from './reply.ts';
import type { ShortReply } from './short-words.ts';

/** So long after it was said somebody's own words take it back. */
const BACK = hours(12);

/** What puts a list off or says which of it: the rest is about something said before. */
export type LaterReply = Exclude<ShortReply, { kind: 'back' | 'rinsed' }>;
export type Part = Extract<Reply, { kind: 'part' }>;

/** Which groups of a machine are done by now, and whether that is all of those in use. */
const groupsDone = async (tx: Tx, row: Occurrence, more: readonly number[]): Promise<{ readonly groups: readonly number[]; readonly all: boolean }> => {
  const before = row.state === 'part done' ? (row.reason ?? '').split('.').map(Number) : [];
  const used = row.machine === null ? [] : (await groupsOf(tx, row.machine)).filter(({ state }) => state === 'in use').map(({ number }) => number);
  const groups = used.filter((number) => before.includes(number) || more.includes(number));
  return { groups, all: groups.length === used.length };
};

/** Answers in a few words that tell of no whole job: a part, later, not today, numbers, and taking it back. */
export const shortAnswers = ({ store, words, ids, jobs }: DoneNeeds, desk: ListDesk) => {
  const atGroups = new Set(jobs.filter((job) => job.atGroups).map(({ id }) => id));
  const say = (said: Said) => words.in(said.locale);
  const takeBack = (said: Said, list: string) => [button(say(said)('routine.button.take-back'), press('routine.back', list))];
  const openOf = (list: Reminder): Promise<readonly Occurrence[]> => read(store, async (tx) => (await occurrencesOf(tx, list.id)).filter((row) => isOpen(row.state as JobState)));

  /** "Done group 1": undefined where no job of the list is done group by group, or the machine has no such group. */
  const part = async (said: Said, list: Reminder, { jobs: named, groups }: Part): Promise<{ readonly whole: readonly string[]; readonly answer: Message } | undefined> => {
    const rows = (await openOf(list)).filter((row) => (named.length === 0 ? atGroups.has(row.job) : named.includes(row.id)));
    const found = await read(store, async (tx) => Promise.all(rows.map(async (row) => ({ row, ...(await groupsDone(tx, row, groups)) }))));
    const parts = found.filter((each) => each.groups.length > 0);
    if (parts.length === 0) return undefined;
    for (const { row, groups: done } of parts.filter(({ all }) => !all)) await desk.act(list.cafe, list.id, [row.id], { kind: 'part done', groups: done.join('.') }, by(said), said.now);
    const numbers = await read(store, (tx) => machineNumbers(tx, list.cafe));
    const names = listed(parts.filter(({ all }) => !all).map(({ row }) => shortOf(say(said), row, numbers)), said.locale);
    return {
      whole: parts.filter(({ all }) => all).map(({ row }) => row.id),
      answer: message([...inLines(say(said)('routine.part.noted', { name: said.by.name, groups: listed(groups.map(String), said.locale), count: groups.length, jobs: names })), say(said)('routine.part.rest')], takeBack(said, list.id)),
    };
  };

  const off = async (said: Said, list: Reminder, named: readonly string[], inMinutes: number | null): Promise<Answer> => {
    const rows = (await openOf(list)).filter(({ id }) => named.length === 0 || named.includes(id)).map(({ id }) => id);
    const at = inMinutes === null ? null : later(said.now, minutes(inMinutes));
    const told = await putOff(desk, ids, { cafe: list.cafe, id: list.id }, rows, at, by(said), said.now);
    if (told.kind !== 'changed') return { kind: 'say', message: message([say(said)('routine.gone')]) };
    const zone = (await desk.cafeFor(list.id))?.zone ?? 'UTC';
    const text = at === null ? say(said)('routine.later.tomorrow') : say(said)('routine.later.noted', { time: clockTime(at, { locale: said.locale, zone }) });
    return { kind: 'say', message: message([text], takeBack(said, list.id)) };
  };

  const numbers = async (said: Said, list: Reminder, named: readonly string[]): Promise<Answer | undefined> => {
    const rows = await openOf(list);
    const [mine, others] = [rows.filter(({ id }) => named.includes(id)), rows.filter(({ id }) => !named.includes(id))];
    return mine.length === 0 ? undefined : { kind: 'say', message: numbersMessage(say(said), said.locale, list.id, mine, others) };
  };

  const take = async (said: Said, list: Reminder, reply: LaterReply): Promise<Answer | undefined> => {
    switch (reply.kind) {
      case 'wait':
        return { kind: 'say', message: message([say(said)('routine.not-done')]) };
      case 'later':
        return reply.minutes === null && reply.jobs.length === 0 ? { kind: 'say', message: laterMessage(say(said), list.id) } : off(said, list, reply.jobs, reply.minutes ?? 30);
      case 'over':
        return off(said, list, reply.jobs, null);
      case 'numbers':
        return numbers(said, list, reply.jobs);
      case 'not for us':
        return { kind: 'say', message: whyMessage(say(said), list.id) };
    }
  };

  /** What this person said last, within twelve hours: a list they closed with it is open again. */
  const back = async (said: Said): Promise<Answer> => {
    const found = await read(store, async (tx) => {
      const mine = await tx.selectFrom('occurrence').select('reminder').where('cafe', 'in', [...said.cafes]).where('by_person', '=', said.by.id).where('done_at', '>=', later(said.now, -BACK)).orderBy('done_at', 'desc').limit(1).executeTakeFirst();
      const list = mine && (await reminderById(tx, mine.reminder));
      return list && { list, rows: (await occurrencesOf(tx, list.id)).filter((row) => row.by_person === said.by.id).map(({ id }) => id) };
    });
    if (!found) return { kind: 'say', message: message([say(said)('routine.back.nothing')]) };
    const told = await desk.act(found.list.cafe, found.list.id, found.rows, { kind: 'take back' }, by(said), said.now);
    return { kind: 'say', message: message([say(said)(told.kind === 'changed' ? 'routine.back.done' : 'routine.back.nothing')]) };
  };

  /** What was done the day before its list counts for it after a press: yesterday's list may be meant. */
  const yesterday = async (said: Said, list: Reminder, named: readonly string[]): Promise<Answer> => {
    const rows = await openOf(list);
    const left = rows.filter(({ id }) => !named.includes(id));
    const yes = left.length === 0 ? press('routine.done', list.id) : press('routine.but', list.id, left.map(({ position }) => position).join('.'));
    const jobs = listed(rows.filter(({ id }) => named.includes(id)).map(({ position }) => String(position)), said.locale);
    const text = left.length === 0 ? say(said)('routine.yesterday.all') : say(said)('routine.yesterday', { jobs });
    return { kind: 'say', message: message([text], [button(say(said)('routine.button.done'), yes, 'main'), button(say(said)('routine.button.not-yet'), press('routine.not-yet', list.id))]) };
  };

  /** Detergent that may be in something is out only by a press, never by a word: the press is put before whoever says so. Undefined where nothing is in doubt. */
  const rinsed = async (said: Said): Promise<Answer | undefined> => {
    const row = await read(store, async (tx) => {
      const open = await tx.selectFrom('timer').select('ref').where('cafe', 'in', [...said.cafes]).where('kind', '=', 'routine.rinse').where('active', '=', 1).orderBy('at').limit(1).executeTakeFirst();
      return open && occurrenceById(tx, open.ref);
    });
    if (!row) return undefined;
    const what = say(said)(`routine.job.${row.job}.residue`);
    return { kind: 'say', message: message([...inLines(say(said)('routine.rinse.sure', { what })), say(said)('routine.rinse.press')], [button(say(said)('routine.rinse.rinsed'), press('routine.end', row.id, 'out'), 'main')]) };
  };

  return { part, take, back, yesterday, rinsed };
};
