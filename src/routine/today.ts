import type { Tonight } from '../cafe/needs.ts';
import { calendarOf } from '../cafe/calendar.ts';
import { cafeById, machinesOf, machinesOff } from '../cafe/records.ts';
import { mayIn } from '../cafe/rights.ts';
import type { CommandRoute, Here, Subject } from '../cafe/subject.ts';
import { button, message, type Button, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { Tx } from '../store/store.ts';
import { read } from '../store/transact.ts';
import { instant, type Instant } from '../time/instant.ts';
import { dateAt } from '../time/wall-time.ts';
import type { Say } from '../words/catalogue.ts';
import { dateAndTime, inLines, LINE_WIDTH } from '../words/format.ts';
import { isOpen, type JobState } from './answer.ts';
import { aboutJob } from './about-job.ts';
import { doneCommands } from './done-command.ts';
import { factsOf } from './duties.ts';
import { createEarly } from './early.ts';
import { firstDue } from './fire.ts';
import { shortOf } from './job-name.ts';
import { machineNumbers } from './machine-numbers.ts';
import { dutiesOf, occurrencesOf, openReminders, ruleOf, type Occurrence, type Reminder } from './records.ts';
import { asksToday } from './lexicons.ts';
import { informed, type ReadRequest } from '../cafe/requests.ts';
import { lately } from './lately.ts';
import { createListDesk, type DoneNeeds } from './list-desk.ts';
import { jobsFor, type Job } from './standard.ts';

/** `mine`: may the one who asks answer it? `hidden`: some of its jobs need a machine on that must stay off. */
type Open = { readonly reminder: Reminder; readonly jobs: readonly Occurrence[]; readonly zone: string; readonly mine: boolean; readonly hidden: boolean; readonly numbers: ReadonlyMap<string, number> };

/** A list in one line where that is wide enough; alone it may take more of them. */
const linesOf = (say: Say, locale: string, { reminder, jobs, zone, numbers }: Open, lists: number): readonly string[] => {
  const values = { heading: say(`routine.heading.${reminder.moment}`, { count: 0, which: '' }), when: dateAndTime(instant(reminder.due_at), { locale, zone }) };
  const names = jobs.map((row) => `${row.position} ${shortOf(say, row, numbers)}`).join(', ');
  const whole = say('routine.today.list', { ...values, jobs: names });
  if (whole.length <= LINE_WIDTH) return [whole];
  return lists === 1 ? [say('routine.today.head', values), ...inLines(names).slice(0, 3)] : [say('routine.today.count', { ...values, count: jobs.length })];
};

const hotIn = (jobs: readonly Job[]): ReadonlySet<string> => new Set(jobs.filter(({ state }) => state === 'hot').map(({ id }) => id));

/** The next list of a café, without what a machine that must stay off would have to run for: when it comes and the jobs on it, in the order of the routine. */
export const nextList = async (tx: Tx, jobs: readonly Job[], cafeId: string): Promise<{ readonly at: Instant; readonly jobs: readonly string[] } | undefined> => {
  const order = new Map(jobs.map((job, i) => [job.id, i]));
  const [off, hot] = [await machinesOff(tx, [cafeId]), hotIn(jobs)];
  const duties = (await dutiesOf(tx, cafeId)).filter((duty) => duty.active === 1 && duty.next_due !== null && !(hot.has(duty.job) && off.has(duty.machine ?? '')));
  const at = Math.min(...duties.map((duty) => duty.next_due ?? Infinity));
  if (!Number.isFinite(at)) return undefined;
  return { at: instant(at), jobs: duties.filter((duty) => duty.next_due === at).map(({ job }) => job).sort((a, b) => (order.get(a) ?? 99) - (order.get(b) ?? 99)) };
};

/** The next closing list of a café, live or still being set up: what it will be, from the machine and the hours. */
export const tonight = (jobs: readonly Job[]) => async (tx: Tx, cafeId: string, now: Instant, say: Say): Promise<Tonight | undefined> => {
  const cafe = await cafeById(tx, cafeId);
  const calendar = cafe && calendarOf(cafe);
  if (!cafe || !calendar) return undefined;
  const start = dateAt(now, cafe.zone);
  const off = new Set((await dutiesOf(tx, cafeId)).filter((duty) => duty.switched_off === 1).map(({ job }) => job));
  const needed = jobs.filter(({ id, moment }) => moment.kind === 'at-closing' && !off.has(id));
  const machines = await machinesOf(tx, cafeId);
  const due = needed
    .filter((job) => machines.some((machine) => jobsFor([job], factsOf(machine)).length > 0))
    .flatMap((job) => {
      const at = job.rule === undefined ? null : firstDue({ rule: ruleOf(job.rule), start, moment: job.moment, onClosed: job.onClosed }, calendar, now);
      return at === null ? [] : [{ job: job.id, at }];
    });
  const at = Math.min(...due.map((each) => each.at));
  return Number.isFinite(at) ? { at: instant(at), jobs: due.filter((each) => each.at === at).map(({ job }) => say(`routine.job.${job}.short`)) } : undefined;
};

/** What is open now, what comes next, and marking jobs done from a list. */
export const createToday = (needs: DoneNeeds & { readonly requests: ReadRequest }): Subject => {
  const { store, words, jobs, lexicons, requests } = needs;
  const desk = createListDesk(needs);
  const { markNamed, markDone } = doneCommands(needs, desk);
  const hot = hotIn(jobs);
  const early = createEarly(needs);

  const openOf = async (tx: Tx, here: Here, reminder: Reminder): Promise<Open> => {
    const off = await machinesOff(tx, [reminder.cafe]);
    const open = (await occurrencesOf(tx, reminder.id)).filter((row) => isOpen(row.state as JobState));
    const shown = open.filter(({ job, machine }) => !(hot.has(job) && off.has(machine ?? '')));
    return { reminder, jobs: shown, zone: (await cafeById(tx, reminder.cafe))?.zone ?? 'UTC', mine: await mayIn(tx, reminder.cafe, here.by, 'answer'), hidden: shown.length < open.length, numbers: await machineNumbers(tx, reminder.cafe) };
  };

  const openLists = async (here: Here, cafes: readonly string[]): Promise<readonly Open[]> =>
    read(store, async (tx) => {
      const all: Open[] = [];
      for (const reminder of await openReminders(tx, cafes)) all.push(await openOf(tx, here, reminder));
      return all.filter((each) => each.jobs.length > 0);
    });

  const nothing = async (here: Here, cafes: readonly string[]): Promise<Message> => {
    const say = words.in(here.locale);
    const next = await read(store, async (tx) => {
      const [id] = cafes;
      const cafe = id === undefined ? undefined : await cafeById(tx, id);
      const list = cafe && (await nextList(tx, jobs, cafe.id));
      return cafe && list && { zone: cafe.zone, ...list };
    });
    const [first] = next?.jobs ?? [];
    return message([next && first !== undefined ? say('routine.today.none', { what: say(`routine.job.${first}.short`), more: next.jobs.length - 1, when: dateAndTime(next.at, { locale: here.locale, zone: next.zone }) }) : say('routine.today.empty')]);
  };

  const openMessage = (here: Here, lists: readonly Open[]): Message => {
    const say = words.in(here.locale);
    const shown = lists.slice(0, 3);
    const lines = shown.flatMap((open) => linesOf(say, here.locale, open, shown.length));
    const all = ({ reminder }: Open): Button => button(say(shown.length === 1 ? 'routine.button.all' : `routine.today.done.${reminder.moment}`), press('routine.done', reminder.id), 'main');
    return message(lines, ...shown.filter(({ mine }) => mine).map((open) => [...(open.hidden ? [] : [all(open)]), button(say('routine.button.some'), press('routine.some', open.reminder.id))]));
  };

  const show = async (here: Here, cafes: readonly string[]): Promise<Message> => {
    const lists = await openLists(here, cafes);
    if (lists.length > 0) return openMessage(here, lists);
    const [cafe] = cafes;
    const mine = cafe !== undefined && (await read(store, (tx) => mayIn(tx, cafe, here.by, 'answer')));
    return (mine ? await early.offer(here, cafes) : undefined) ?? nothing(here, cafes);
  };

  const command = (name: string): CommandRoute => ({ name, take: async (given) => ({ kind: 'private', message: await show(given, given.cafes) }) });

  return {
    commands: [command('today'), { name: 'done', take: async (given) => (await markNamed(given)) ?? { kind: 'private', message: await show(given, given.cafes) } }, markDone],
    words: [{ name: 'routine.today', order: 25, take: async (said) => (said.cafes.length > 0 && asksToday(said.text, lexicons.values()) ? { kind: 'say', message: await show(said, said.cafes) } : undefined) }, ...informed('routine.asked', 'today', requests, async (said) => (said.cafes.length > 0 ? { kind: 'say', message: await show(said, said.cafes) } : undefined)), ...lately(needs, desk, requests), ...aboutJob(needs, requests)],
  };
};
