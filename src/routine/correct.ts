import { z } from 'zod';
import { cafeById, membersOf } from '../cafe/records.ts';
import type { Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message, type Message } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import type { Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { days, hours, instant, later, type Instant } from '../time/instant.ts';
import { plusDays } from '../time/local-date.ts';
import { dateAt, instantOf, parseLocalTime } from '../time/wall-time.ts';
import type { Say } from '../words/catalogue.ts';
import { clockTime, dateAndTime, shortened } from '../words/format.ts';
import { isOpen, type JobState } from './answer.ts';
import { shortOf } from './job-name.ts';
import type { DoneNeeds, ListDesk } from './list-desk.ts';
import { machineNumbers } from './machine-numbers.ts';
import { occurrenceById, readLastDone, reminderById, type Occurrence } from './records.ts';
import { reckonSoon } from './reckon.ts';
import { followResidue } from './residue.ts';
import { redrawJobs, redrawList, redrawThanks } from './thanks.ts';

const MOST_SHOWN = 25;
/** How far back the owner is shown what was done. */
const BACK = days(3);

/** What a job was before it was corrected. */
export const wasSchema = z.object({ state: z.string(), person: z.string().nullable(), name: z.string().nullable(), at: z.number().nullable() });
export type Was = z.infer<typeof wasSchema>;

const wasOf = (row: Occurrence): Was => ({ state: row.state, person: row.by_person, name: row.by_name, at: row.done_at });

/** `done 22:31, Sam`, or that it was not done. */
const stateText = (say: Say, was: Was, reader: { readonly locale: string; readonly zone: string }): string =>
  was.state === 'done' && was.at !== null ? say('routine.correct.done', { time: clockTime(instant(was.at), reader), name: was.name ?? '' }) : say('routine.correct.not');

/** The last such time of the clock within a day of the list; null for what is no time. */
export const timeNear = (typed: string, due: Instant, zone: string): Instant | null => {
  const time = parseLocalTime(typed.trim().replace('.', ':').replace(/^(\d):/, '0$1:').replace(/^(\d{1,2})$/, (hour) => `${hour.padStart(2, '0')}:00`));
  if (time === null) return null;
  const date = dateAt(due, zone);
  const near = [-1, 0, 1].map((ahead) => instantOf(plusDays(date, ahead), time, zone));
  return near.reduce((best, each) => (Math.abs(each - due) < Math.abs(best - due) ? each : best));
};

/** The owner corrects what stands on a list: who, when, done or not. What stood there before is kept. */
export const correctRoutes = ({ store, words, ids, jobs }: DoneNeeds, { settle, follow }: ListDesk): readonly PressRoute[] => {
  const residues = new Set(jobs.filter((job) => job.residue !== undefined).map((job) => job.id));

  const recent = (tx: Tx, cafe: string, now: Instant): Promise<readonly Occurrence[]> =>
    tx.selectFrom('occurrence').selectAll().where('cafe', '=', cafe).where('due_at', '>=', later(now, -BACK)).orderBy('due_at', 'desc').orderBy('position').limit(MOST_SHOWN).execute();

  const show = async (pressed: Pressed): Promise<Message> =>
    read(store, async (tx) => {
      const cafe = await cafeById(tx, pressed.press.ids[0] ?? '');
      const rows = cafe ? await recent(tx, cafe.id, pressed.now) : [];
      const say = words.in(pressed.locale);
      if (!cafe || rows.length === 0) return message([say('routine.correct.nothing')]);
      const reader = { locale: pressed.locale, zone: cafe.zone };
      const numbers = await machineNumbers(tx, cafe.id);
      const from = rows.map((row) => ({ value: row.id, label: shortened(`${dateAndTime(instant(row.due_at), reader)}: ${shortOf(say, row, numbers)}`, 80), hint: stateText(say, wasOf(row), reader) }));
      return message([say('routine.correct.which')], { ask: say('routine.correct.pick'), press: press('routine.correct-job', cafe.id), from });
    });

  const form = async (pressed: Pressed): Promise<Answer> => {
    const say = words.in(pressed.locale);
    const found = await read(store, async (tx) => {
      const row = await occurrenceById(tx, pressed.picked[0] ?? '');
      const cafe = row && (await cafeById(tx, row.cafe));
      return row && cafe && row.cafe === pressed.press.ids[0] ? { row, zone: cafe.zone } : undefined;
    });
    if (!found) return { kind: 'private', message: message([say('chat.tooOld')]) };
    const { row, zone } = found;
    const at = instant(row.done_at ?? row.due_at);
    return {
      kind: 'form',
      form: {
        title: say('routine.correct.form'), submit: press('routine.corrected', row.id),
        questions: [
          { key: 'done', label: say('routine.correct.is-done'), answer: { kind: 'pick', most: 1, from: [{ value: 'yes', label: say('routine.correct.yes') }, { value: 'no', label: say('routine.correct.no') }] } },
          { key: 'who', label: say('routine.correct.who'), optional: true, answer: { kind: 'words', most: 30, ...(row.by_name ? { now: row.by_name } : {}) } },
          { key: 'when', label: say('routine.correct.when'), optional: true, answer: { kind: 'words', most: 10, now: clockTime(at, { locale: pressed.locale, zone }) } },
        ],
      },
    };
  };

  const write = async (tx: Tx, row: Occurrence, next: Was, pressed: Pressed): Promise<void> => {
    const reminder = await reminderById(tx, row.reminder);
    await tx.insertInto('correction').values({ id: ids(pressed.now), cafe: row.cafe, occurrence: row.id, was: JSON.stringify(wasOf(row)), by_person: pressed.by.id, by_name: pressed.by.name, at: pressed.now }).execute();
    await tx.updateTable('occurrence').set((eb) => ({ state: next.state, by_person: next.person, by_name: next.name, done_at: next.at, reason: null, later_until: null, rev: eb('rev', '+', 1) })).where('id', '=', row.id).execute();
    // Counted from anew on every list: what was done since stands, and what was not done takes the date back.
    await readLastDone(tx, row.duty);
    if (next.state !== row.state || next.at !== row.done_at) await reckonSoon(tx, ids, row.cafe, pressed.now);
    // Not done after all: detergent may be in it. Done: only whoever rinsed can say that it is out.
    if (residues.has(row.job) && row.state === 'done' && next.state !== 'done') await followResidue(tx, ids, row, 'due', false, pressed.now);
    // A seal said to be new here is asked about as after any other "done".
    if (next.state !== row.state) await follow(tx, [row], [{ id: row.id, to: next.state as JobState }], pressed.now);
    if (reminder) await settle(tx, reminder, pressed.now);
    await redrawThanks(tx, row.reminder, pressed.now);
    await redrawList(tx, row.reminder, pressed.now);
    await redrawJobs(tx, [row.id], pressed.now);
  };

  const correct = async (pressed: Pressed): Promise<Answer> => {
    const [id = ''] = pressed.press.ids;
    const say = words.in(pressed.locale);
    const given = (key: string): string => (pressed.answers[key]?.[0] ?? '').trim();
    const row = await read(store, (tx) => occurrenceById(tx, id));
    if (!row) return { kind: 'redraw', message: message([say('chat.tooOld')]) };
    return transact(store, [row.cafe], async (tx): Promise<Answer> => {
      const now = await occurrenceById(tx, id);
      const cafe = await cafeById(tx, row.cafe);
      const reminder = await reminderById(tx, row.reminder);
      const at = cafe && given('when') !== '' ? timeNear(given('when'), instant(row.done_at ?? row.due_at), cafe.zone) : instant(row.done_at ?? pressed.now);
      if (!now || !cafe) return { kind: 'redraw', message: message([say('chat.tooOld')]) };
      if (at === null || at > later(pressed.now, hours(1) / 60)) return { kind: 'redraw', message: message([say('routine.change.bad-time')]) };
      const name = given('who') === '' ? (now.by_name ?? pressed.by.name) : shortened(given('who'), 30);
      const member = (await membersOf(tx, cafe.id)).find((each) => each.name.toLowerCase() === name.toLowerCase());
      const person = name === now.by_name ? now.by_person : (member?.person ?? null);
      const done = given('done') === 'yes';
      const not: JobState = reminder?.state === 'closed' && !isOpen(now.state as JobState) ? 'left over' : 'due';
      const next: Was = done ? { state: 'done', person, name, at } : { state: not, person: null, name: null, at: null };
      await write(tx, now, next, pressed);
      const reader = { locale: pressed.locale, zone: cafe.zone };
      return { kind: 'redraw', message: message([say('routine.corrected', { job: shortOf(say, now, await machineNumbers(tx, cafe.id)), state: stateText(say, next, reader) }), say('routine.corrected.was', { state: stateText(say, wasOf(now), reader) })]) };
    });
  };

  const ofCafe = async (_tx: Tx, given: Press): Promise<string | undefined> => given.ids[0];
  return [
    { kind: 'routine.correct', ack: 'private', right: 'own', cafe: ofCafe, take: async (pressed) => ({ kind: 'private', message: await show(pressed) }) },
    { kind: 'routine.correct-job', ack: 'form', right: 'own', cafe: ofCafe, take: form },
    { kind: 'routine.corrected', ack: 'update', right: 'own', cafe: async (tx, given) => (await occurrenceById(tx, given.ids[0] ?? ''))?.cafe, take: correct },
  ];
};
