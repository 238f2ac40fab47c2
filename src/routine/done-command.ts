import { mayIn } from '../cafe/rights.ts';
import type { CommandRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message } from '../chat/message.ts';
import { read } from '../store/transact.ts';
import { listed } from '../words/format.ts';
import { by, type DoneNeeds, type ListDesk } from './list-desk.ts';
import { shortOf } from './job-name.ts';
import { machineNumbers } from './machine-numbers.ts';
import { occurrenceById, occurrencesOf, openReminders, type Occurrence } from './records.ts';

type Command = Parameters<CommandRoute['take']>[0];
/** Jobs of one list a command is about; `which` undefined: all of it. */
type Meant = { readonly list: string; readonly which?: readonly string[] };

/** Marking jobs by a command: one picked by its name or number, or a whole list by a long press on it. */
export const doneCommands = ({ store, words }: Pick<DoneNeeds, 'store' | 'words'>, { act, cafeFor, alreadySaid }: ListDesk) => {
  const fits = (job: Occurrence, typed: string, locale: string): boolean =>
    String(job.position) === typed || words.in(locale)(`routine.job.${job.job}.names`).split(', ').concat(words.in(locale)(`routine.job.${job.job}.short`)).some((name) => name.toLowerCase() === typed);

  /** The job that was picked, or the only open one that goes by what was typed. */
  const meantBy = async ({ given, cafes, locale }: Command): Promise<Meant | undefined> => {
    const typed = (given['text'] ?? '').trim().toLowerCase();
    return read(store, async (tx) => {
      const picked = given['job'] === undefined ? undefined : await occurrenceById(tx, given['job']);
      if (picked) return { list: picked.reminder, which: [picked.id] };
      if (typed === '') return undefined;
      const jobs = (await Promise.all((await openReminders(tx, cafes)).map((list) => occurrencesOf(tx, list.id)))).flat().filter((job) => fits(job, typed, locale));
      const [only, second] = jobs;
      return only && !second ? { list: only.reminder, which: [only.id] } : undefined;
    });
  };

  const mark = async (command: Command, { list, which }: Meant): Promise<Answer> => {
    const say = words.in(command.locale);
    const whisper = (key: string, values?: Readonly<Record<string, string>>): Answer => ({ kind: 'private', message: message([say(key, values)]) });
    const cafe = await cafeFor(list);
    if (!cafe) return whisper('routine.gone');
    if (!(await read(store, (tx) => mayIn(tx, cafe.id, command.by, 'answer')))) return whisper('chat.barOnly');
    const told = await act(cafe.id, list, which, { kind: 'done', checked: false }, by(command), command.now);
    if (told.kind === 'already') return { kind: 'private', message: alreadySaid(command, cafe.zone, told) };
    if (told.kind !== 'changed') return whisper('routine.gone');
    const numbers = await read(store, (tx) => machineNumbers(tx, cafe.id));
    return whisper('routine.marked', { jobs: listed(told.jobs.map((job) => shortOf(say, job, numbers)), command.locale) });
  };

  return {
    /** Undefined where the command says no job, or none that is open. */
    markNamed: async (command: Command): Promise<Answer | undefined> => {
      const meant = await meantBy(command);
      return meant && mark(command, meant);
    },
    markDone: {
      name: 'mark-done',
      take: async (command: Command): Promise<Answer> => {
        const list = (command.on?.data as { reminder?: string } | undefined)?.reminder;
        return list === undefined ? { kind: 'private', message: message([words.in(command.locale)('routine.notMyList')]) } : mark(command, { list });
      },
    },
  };
};
