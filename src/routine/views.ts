import { button, line, message, type Button, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { Instant } from '../time/instant.ts';
import { clockTime, inLines, listed } from '../words/format.ts';
import { isOpen, type JobState } from './answer.ts';
import { jobName, jobShort } from './job-name.ts';
import { twoLabel, twoWords, type Show } from './two-languages.ts';

/** A list as it is shown: its jobs in order and what became of each. */
export type ListView = {
  readonly reminder: string;
  readonly cafe: string;
  readonly moment: string;
  readonly closed: boolean;
  /** One line and one button, with all of it a press away. */
  readonly short?: boolean;
  /** Groups in use of the machine the list is about; empty where it is about several. */
  readonly groups: readonly number[];
  /** Numbers of the machines the list is about, where it is about several. */
  readonly machines: readonly number[];
  readonly jobs: readonly { readonly id: string; readonly job: string; readonly group: number | null; readonly machine: number | null; readonly position: number; readonly state: JobState; readonly byName: string | null; readonly at: Instant | null; readonly reason: string | null; readonly until: Instant | null }[];
};

type Job = ListView['jobs'][number];
export type { Show };

const WIDTH = 64;

/** Fills lines of at most 64 characters with pieces, never breaking one. */
const filled = (pieces: readonly string[], gap: string): readonly string[] =>
  pieces.reduce<readonly string[]>((lines, piece) => {
    const last = lines.at(-1);
    return last !== undefined && `${last}${gap}${piece}`.length <= WIDTH ? [...lines.slice(0, -1), `${last}${gap}${piece}`] : [...lines, piece];
  }, []);

const shortName = ({ say, reader }: Show, { job, group, machine, position, state, reason }: Job): string => {
  const name = `${position} ${jobShort(say, job, group, machine)}`;
  const groups = state === 'part done' ? (reason ?? '').split('.') : [];
  return groups.length === 0 ? name : say('routine.part', { job: name, groups: listed(groups, reader.locale), count: groups.length });
};

/** Every job by its whole name if that fits three lines, else all of them by their short names. */
const jobLines = (show: Show, jobs: readonly Job[]): readonly string[] => {
  if (show.other !== undefined) {
    const both = filled(jobs.map(({ job, group, machine, position }) => `${position} ${twoWords(show, ({ say }) => jobShort(say, job, group, machine))}`), '   ');
    return both.length <= 3 ? both : filled(jobs.map((job) => shortName(show, job)), ', ');
  }
  const long = filled(jobs.map(({ job, group, machine, position }) => `${position} ${jobName(show.say, job, group, machine)}`), '   ');
  return long.length <= 3 ? long : filled(jobs.map((job) => shortName(show, job)), ', ');
};

const groupsText = ({ say, reader }: Show, groups: readonly number[]): string => {
  const [first = 0] = groups;
  const last = groups.at(-1) ?? 0;
  return groups.length > 2 && last - first === groups.length - 1 ? say('routine.groups.range', { from: first, to: last }) : listed(groups.map(String), reader.locale);
};

const heading = (show: Show, { moment, groups, machines }: ListView): string => {
  const first = show.say(`routine.heading.${moment}`, { count: groups.length, which: groupsText(show, groups) });
  return machines.length === 0 ? first : show.say('routine.heading.machines', { heading: first, which: groupsText(show, machines) });
};

const headingHere = (show: Show, view: ListView): string => twoWords(show, (tongue) => heading(tongue, view));

/** Jobs that are walked through: the button that begins them right from the list, and its press. */
const BEGUN_HERE: Readonly<Record<string, string>> = { 'seal-look': 'look.start' };

const beginRows = ({ say }: Show, { cafe }: ListView, open: readonly Job[]): readonly (readonly Button[])[] =>
  open.flatMap(({ id, job }) => {
    const kind = BEGUN_HERE[job];
    return kind === undefined ? [] : [[button(say(`routine.begin.${job}`), press(kind, cafe, id), 'main')]];
  });

const openButtons = (show: Show, view: ListView): readonly (readonly Button[])[] => {
  const open = view.jobs.filter((job) => isOpen(job.state) && job.state !== 'asked' && job.state !== 'soaking');
  if (view.closed || open.length === 0) return [];
  const untouched = open.length === view.jobs.length;
  return [
    ...beginRows(show, view, open),
    [button(twoLabel(show, untouched ? 'all' : 'rest'), press('routine.done', view.reminder), 'main'), ...(open.length > 1 ? [button(twoLabel(show, 'some'), press('routine.some', view.reminder))] : [])],
    [button(twoLabel(show, 'cant'), press('routine.cant', view.reminder)), button(twoLabel(show, 'later'), press('routine.later', view.reminder))],
  ];
};

const askButtons = ({ say }: Show, job: Job): readonly Button[] => [
  button(say(`routine.job.${job.job}.out`), press('routine.end', job.id, 'out'), 'main'),
  button(say(`routine.job.${job.job}.still`), press('routine.end', job.id, 'still')),
  button(say('routine.button.not-started'), press('routine.end', job.id, 'not-started')),
];

const namesOf = (jobs: readonly Job[]): readonly string[] => [...new Set(jobs.flatMap(({ byName }) => (byName === null ? [] : [byName])))];

const lastAt = (jobs: readonly Job[]): Instant | undefined => {
  const times = jobs.flatMap(({ at }) => (at === null ? [] : [at]));
  return times.length > 0 ? times.reduce((a, b) => (a > b ? a : b)) : undefined;
};

const numbered = (show: Show, jobs: readonly Job[]): string => listed(jobs.map(({ position }) => String(position)), show.reader.locale);

const summary = (show: Show, view: ListView, done: readonly Job[]): string => {
  const at = lastAt(done);
  const values = { heading: heading(show, view), done: done.length, all: view.jobs.length, time: at === undefined ? '' : clockTime(at, show.reader), names: listed(namesOf(done), show.reader.locale) };
  return show.say(done.length === view.jobs.length ? 'routine.list.all-done' : 'routine.list.some-done', values);
};

/** What became of a list, in one line. */
export const summaryLine = (show: Show, view: ListView): string => {
  const done = view.jobs.filter((job) => job.state === 'done');
  const short = { ...view, groups: [], machines: [] };
  return done.length === 0 ? show.say(view.closed ? 'routine.list.none-done' : 'routine.list.waits', { heading: heading(show, short) }) : summary(show, short, done);
};

const stateLine = (show: Show, key: string, jobs: readonly Job[]): readonly string[] =>
  jobs.length === 0 ? [] : inLines(`${show.say(key)} ${jobs.map((job) => shortName(show, job)).join(', ')}`);

/** Why a job is asked about elsewhere: the answer to a typed "done" asks it, and one question is enough. */
export const ASKED_IN_REPLY = 'reply';

/** The first job whose end is being asked about here. */
const asked = (view: ListView): Job | undefined => view.jobs.find((job) => job.state === 'asked' && job.reason !== ASKED_IN_REPLY);

const takeBack = (show: Show, view: ListView): readonly Button[] => [button(twoLabel(show, 'take-back'), press('routine.back', view.reminder))];

const shortMessage = (show: Show, view: ListView): Message =>
  message([line(show.say('routine.list.short', { heading: heading(show, view), count: view.jobs.length }), 'strong')], [button(show.say('routine.button.all'), press('routine.done', view.reminder), 'main'), button(show.say('routine.button.long'), press('routine.long', view.reminder))]);

/** The list in the café's channel, with all that became of it. */
export const listMessage = (show: Show, view: ListView): Message => {
  const done = view.jobs.filter((job) => job.state === 'done');
  const touched = view.jobs.some((job) => job.state !== 'due');
  if (!touched && !view.closed && view.short) return shortMessage(show, view);
  if (!touched && !view.closed) return message([line(`${headingHere(show, view)}:`, 'strong'), ...jobLines(show, view.jobs)], ...openButtons(show, view));
  const ask = view.closed ? undefined : asked(view);
  const first = done.length > 0 ? summary(show, view, done) : `${headingHere(show, view)}:`;
  const second = done.length > 0 && show.other !== undefined ? [summary(show.other, view, done)] : [];
  const open = view.jobs.filter((job) => (job.state === 'due' || job.state === 'later' || job.state === 'part done') && !view.closed);
  const over = view.jobs.filter((job) => job.state === 'left over' || job.state === "can't" || job.state === 'not for us' || (view.closed && isOpen(job.state) && job.state !== 'soaking'));
  const soaking = view.jobs.filter((job) => job.state === 'soaking');
  const rest = [
    ...(done.length > 0 && done.length < view.jobs.length ? stateLine(show, 'routine.list.done', done) : []),
    ...stateLine(show, 'routine.list.open', open),
    ...stateLine(show, 'routine.list.asked', view.closed ? [] : view.jobs.filter((job) => job.state === 'asked' && job.reason === ASKED_IN_REPLY)),
    ...stateLine(show, 'routine.list.soaking', soaking),
    ...stateLine(show, 'routine.list.over', over),
  ];
  const question = ask ? [show.say(`routine.job.${ask.job}.ask`, { position: ask.position })] : [];
  const buttons = ask ? [askButtons(show, ask)] : openButtons(show, view);
  return message([line(first, 'strong'), ...[...second, ...rest].slice(0, 4 - 1 - question.length), ...question], ...buttons, ...(ask || !view.jobs.some((job) => job.byName !== null && job.byName !== '') ? [] : [takeBack(show, view)]));
};

/** The answer to a typed "done": what was stored, and the one thing left to ask. */
export const thanksMessage = (show: Show, view: ListView, told: { readonly by: string; readonly at: Instant; readonly jobs: readonly string[] }): Message => {
  const mine = view.jobs.filter(({ id }) => told.jobs.includes(id));
  const done = mine.filter((job) => job.state === 'done' && !job.reason);
  const time = clockTime(told.at, show.reader);
  const ask = mine.find((job) => job.state === 'asked');
  const over = mine.filter((job) => job.state === 'left over');
  const soaking = mine.filter((job) => job.state === 'soaking');
  if (mine.length > 0 && mine.every((job) => job.state === 'due')) return message([show.say('routine.back.done')]);
  const all = done.length === view.jobs.length;
  const first = done.length === 0 ? show.say('routine.thanks.none', { name: told.by }) : show.say(all ? 'routine.thanks.all' : 'routine.thanks.some', { name: told.by, time, jobs: numbered(show, done), count: done.length });
  if (ask) return message([first, show.say(`routine.job.${ask.job}.ask`, { position: ask.position })], askButtons(show, ask));
  const rest = [
    ...(soaking.length > 0 ? [show.say('routine.thanks.soaking', { jobs: numbered(show, soaking) })] : []),
    ...(over.length > 0 ? [show.say('routine.thanks.over', { jobs: numbered(show, over) })] : []),
  ];
  return message([first, ...rest], takeBack(show, view));
};
