import { cafeById, groupsOf, type Cafe } from '../cafe/records.ts';
import { secondLanguage } from '../cafe/languages.ts';
import type { Here, Pressed } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message, type Message } from '../chat/message.ts';
import type { Press } from '../chat/press.ts';
import type { Ids } from '../store/id.ts';
import { redraw } from '../store/post.ts';
import type { Store, Tx } from '../store/store.ts';
import { setTimer, stopTimer } from '../store/timers.ts';
import { read, transact } from '../store/transact.ts';
import { hours, instant, later, type Instant } from '../time/instant.ts';
import type { Words } from '../words/catalogue.ts';
import { clockTime } from '../words/format.ts';
import { answer, isOpen, type JobAct, type JobChange, type JobState } from './answer.ts';
import { isReckoned } from './dates.ts';
import { reminderKey } from './post-due.ts';
import { closeReminder, readLastDone, occurrenceById, occurrencesOf, onList, reminderById, reopenReminder, writeChanges, type Occurrence, type Reminder } from './records.ts';
import { reckonSoon } from './reckon.ts';
import type { Lexicon } from './lexicons.ts';
import { machineNumbers } from './machine-numbers.ts';
import type { Job } from './standard.ts';
import { askProofs } from './proof.ts';
import { followResidue } from './residue.ts';
import { redrawJobs, redrawList, redrawThanks } from './thanks.ts';
import { listMessage, thanksMessage, type ListView, type Show } from './views.ts';

export type DoneNeeds = {
  readonly store: Store;
  readonly words: Words;
  readonly ids: Ids;
  readonly jobs: readonly Job[];
  readonly lexicons: ReadonlyMap<string, Lexicon>;
  /** Told of a job that was done and of which another subject keeps a record. */
  readonly done?: (tx: Tx, row: Occurrence, now: Instant) => Promise<void>;
};

export type Who = { readonly person: string | null; readonly name: string };
/** What an answer to a typed "done" is about: the jobs it named, who said so and when, in which of the chat's events. */
export type Thanks = { readonly reminder: string; readonly event?: string; readonly by: string; readonly at: number; readonly jobs: readonly string[]; readonly language?: string };
export type Told =
  | { readonly kind: 'changed'; readonly jobs: readonly Occurrence[] }
  | { readonly kind: 'already'; readonly by: string; readonly at: Instant }
  | { readonly kind: 'nothing' }
  | { readonly kind: 'gone' };

/** How long after it was said anyone may take it back. */
const TAKE_BACK = hours(12);

export const by = (here: Here): Who => ({ person: here.by.id, name: here.by.name });
/** Kinds of messages that show a list and have to show it anew. */
const SHOWS_A_LIST: readonly string[] = ['reminder', 'routine.thanks'];

export const keyOf = (pressed: Pressed): string | undefined => (pressed.shown && SHOWS_A_LIST.includes(pressed.shown.kind) ? pressed.shown.key : undefined);

/** What every way of answering a list needs: reading it, drawing it, and the one act that changes it. */
export type ListDesk = ReturnType<typeof createListDesk>;

export const createListDesk = ({ store, words, ids, jobs, done }: DoneNeeds) => {
  const ending = new Set(jobs.filter((job) => job.ends).map((job) => job.id));
  const reckoned = new Set(jobs.filter(isReckoned).map((job) => job.id));
  const everyday = new Set(jobs.filter(({ rule }) => rule === 'FREQ=DAILY').map((job) => job.id));
  const residues = new Set(jobs.filter((job) => job.residue !== undefined).map((job) => job.id));

  const showIn = (cafe: Cafe, locale = cafe.language): Show => ({ say: words.in(locale), reader: { locale: words.nearest(locale), zone: cafe.zone } });

  /** As the café's channel shows it: in both its languages where it has two. */
  const showHere = (cafe: Cafe): Show => {
    const second = secondLanguage(cafe);
    return second === undefined || words.nearest(second) === words.nearest(cafe.language) ? showIn(cafe) : { ...showIn(cafe), other: showIn(cafe, second) };
  };

  const viewOf = async (tx: Tx, reminder: Reminder): Promise<ListView> => {
    const rows = await occurrencesOf(tx, reminder.id);
    const machines = new Set(rows.map(({ machine }) => machine));
    const [only] = machines;
    const numbers = await machineNumbers(tx, reminder.cafe);
    return {
      reminder: reminder.id,
      cafe: reminder.cafe,
      moment: reminder.moment,
      closed: reminder.state === 'closed',
      // Only what comes every day is known by heart.
      short: reminder.form === 'short' && rows.every(({ job }) => everyday.has(job)),
      groups: machines.size === 1 && typeof only === 'string' ? (await groupsOf(tx, only)).filter(({ state }) => state === 'in use').map(({ number }) => number) : [],
      machines: machines.size > 1 ? [...machines].flatMap((id) => numbers.get(id ?? '') ?? []).toSorted((a, b) => a - b) : [],
      jobs: rows.map((row) => ({
        id: row.id, job: row.job, group: row.group_number, machine: machines.size > 1 ? (numbers.get(row.machine ?? '') ?? null) : null, position: row.position, state: row.state as JobState, byName: row.by_name, at: row.done_at === null ? null : instant(row.done_at), reason: row.reason, until: row.later_until === null ? null : instant(row.later_until),
      })),
    };
  };

  const drawList = async (id: string, locale?: string): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const reminder = await reminderById(tx, id);
      const cafe = reminder && (await cafeById(tx, reminder.cafe));
      return reminder && cafe && listMessage(locale === undefined ? showHere(cafe) : showIn(cafe, locale), await viewOf(tx, reminder));
    });

  const drawThanks = async (data: Thanks): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const reminder = await reminderById(tx, data.reminder);
      const cafe = reminder && (await cafeById(tx, reminder.cafe));
      return reminder && cafe && thanksMessage(showIn(cafe, data.language ?? cafe.language), await viewOf(tx, reminder), { by: data.by, at: instant(data.at), jobs: data.jobs });
    });

  /** Everything open is answered: the list needs no closing any more, unless something still soaks. */
  const settle = async (tx: Tx, reminder: Reminder, now: Instant): Promise<void> => {
    const rows = await occurrencesOf(tx, reminder.id);
    if (rows.every((row) => !isOpen(row.state as JobState))) {
      await closeReminder(tx, reminder.id);
      await stopTimer(tx, `routine.close.${reminder.id}`);
    } else if (reminder.state === 'closed') {
      await reopenReminder(tx, reminder.id);
      await setTimer(tx, ids, now, { key: `routine.close.${reminder.id}`, cafe: reminder.cafe, kind: 'routine.close', ref: reminder.id, at: later(now, TAKE_BACK) });
    }
  };

  /** What hangs on a job being done: its next date, and what others write down about it. */
  const follow = async (tx: Tx, rows: readonly Occurrence[], changes: readonly JobChange[], now: Instant): Promise<void> => {
    const moved = rows.filter((row) => changes.some(({ id }) => id === row.id) && reckoned.has(row.job));
    for (const row of moved) {
      const isDone = changes.some(({ id, to }) => id === row.id && to === 'done');
      if (row.state === 'done' && !isDone) await readLastDone(tx, row.duty);
      if (isDone) await done?.(tx, row, now);
    }
    const [first] = moved;
    if (first) await reckonSoon(tx, ids, first.cafe, now);
  };

  /** Applies an act to some jobs of a list (`which` undefined: all of them) in the one transaction of its café. */
  const act = async (cafe: string, reminderId: string, which: readonly string[] | undefined, what: JobAct, who: Who, now: Instant, pressedOn?: string, after?: (tx: Tx, jobs: readonly Occurrence[]) => Promise<void>): Promise<Told> =>
    transact(store, [cafe], async (tx) => {
      const reminder = await reminderById(tx, reminderId);
      if (!reminder) return { kind: 'gone' };
      const all = await occurrencesOf(tx, reminderId);
      const rows = all.filter((row) => which === undefined || which.includes(row.id));
      const list = rows.map((row) => onList(row, ending.has(row.job)));
      const wanted = what.kind === 'take back' ? list.filter((job) => job.doneAt !== null && now - job.doneAt <= TAKE_BACK) : list;
      const { changes, already } = answer(wanted, what);
      const [first] = already;
      if (changes.length === 0) return first ? { kind: 'already', by: first.byName ?? '', at: first.doneAt ?? now } : { kind: 'nothing' };
      await writeChanges(tx, changes, who, now);
      const notBegun = what.kind === 'left over' && what.notBegun === true;
      for (const { id, to } of changes) for (const row of rows.filter((each) => each.id === id && residues.has(each.job))) await followResidue(tx, ids, row, to, notBegun, now);
      await settle(tx, reminder, now);
      await follow(tx, rows, changes, now);
      const changed = rows.filter((row) => changes.some(({ id }) => id === row.id));
      await askProofs(tx, ids, reminder, rows.filter((row) => changes.some(({ id, to }) => id === row.id && to === 'done')), now);
      await redrawThanks(tx, reminderId, now, pressedOn);
      await after?.(tx, changed);
      await redrawList(tx, reminderId, now, pressedOn);
      await redrawJobs(tx, all.map(({ id }) => id), now, pressedOn);
      if (pressedOn !== undefined && pressedOn !== reminderKey(reminderId)) await redraw(tx, pressedOn, now, true);
      return { kind: 'changed', jobs: changed };
    });

  const alreadySaid = (here: Here, zone: string, told: Extract<Told, { kind: 'already' }>): Message =>
    message([words.in(here.locale)('routine.already', { name: told.by, time: clockTime(told.at, { locale: here.locale, zone }) })]);

  /** What was stored, for a message that only asked which list was meant. */
  const thanksFor = async (pressed: Pressed, changed: readonly Occurrence[]): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const reminder = await reminderById(tx, changed[0]?.reminder ?? '');
      const cafe = reminder && (await cafeById(tx, reminder.cafe));
      return reminder && cafe && thanksMessage(showIn(cafe, pressed.locale), await viewOf(tx, reminder), { by: pressed.by.name, at: pressed.now, jobs: changed.map((row) => row.id) });
    });

  /** The message pressed on, as it has to look now. */
  const redrawn = async (pressed: Pressed, told: Told, note?: Message): Promise<Answer> => {
    const say = words.in(pressed.locale);
    const zone = await read(store, async (tx) => (pressed.shown?.cafe ? ((await cafeById(tx, pressed.shown.cafe))?.zone ?? 'UTC') : 'UTC'));
    const more = told.kind === 'already' ? alreadySaid(pressed, zone, told) : told.kind === 'gone' ? message([say('routine.gone')]) : note;
    // What it says of the list reaches it through the outbox.
    if (pressed.shown?.kind === 'routine.water') return { kind: 'noted', ...(more ? { private: more } : {}) };
    const version = pressed.shown && (await read(store, (tx) => tx.selectFrom('outbox').select('version').where('key', '=', pressed.shown?.key ?? '').executeTakeFirst()));
    const drawn = pressed.shown?.kind === 'reminder' ? await drawList((pressed.shown.data as { reminder: string }).reminder) : pressed.shown?.kind === 'routine.thanks' ? await drawThanks(pressed.shown.data as Thanks) : undefined;
    if (drawn && pressed.shown && version) return { kind: 'redraw', message: drawn, shows: { key: pressed.shown.key, version: version.version }, ...(more ? { private: more } : {}) };
    const thanks = told.kind === 'changed' && !more ? await thanksFor(pressed, told.jobs) : undefined;
    const said = more ?? thanks;
    return said ? { kind: 'redraw', message: said } : { kind: 'noted' };
  };

  const cafeOfReminder = async (tx: Tx, given: Press): Promise<string | undefined> => (await reminderById(tx, given.ids[0] ?? ''))?.cafe;
  const cafeOfOccurrence = async (tx: Tx, given: Press): Promise<string | undefined> => (await occurrenceById(tx, given.ids[0] ?? ''))?.cafe;
  const cafeFor = async (id: string): Promise<Cafe | undefined> => read(store, async (tx) => { const reminder = await reminderById(tx, id); return reminder && cafeById(tx, reminder.cafe); });

  const openJobs = async (id: string): Promise<readonly Occurrence[]> => read(store, async (tx) => (await occurrencesOf(tx, id)).filter((row) => isOpen(row.state as JobState)));

  return { settle, follow, ending, showIn, viewOf, drawList, drawThanks, act, alreadySaid, redrawn, cafeOfReminder, cafeOfOccurrence, cafeFor, openJobs };
};
