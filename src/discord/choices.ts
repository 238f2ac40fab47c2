import { cafesHere } from '../cafe/records.ts';
import { mayIn } from '../cafe/rights.ts';
import type { Person, PlaceId } from '../chat/who.ts';
import { isOpen, type JobState } from '../routine/answer.ts';
import { shortOf } from '../routine/job-name.ts';
import { machineNumbers } from '../routine/machine-numbers.ts';
import { occurrencesOf, openReminders } from '../routine/records.ts';
import type { Store, Tx } from '../store/store.ts';
import { read } from '../store/transact.ts';
import { instant } from '../time/instant.ts';
import { clockTime, shortened } from '../words/format.ts';
import type { Words } from '../words/catalogue.ts';

const MOST = 25;
const MOST_NAME = 100;
const CHOSEN = 'job:';

export const isChosen = (value: string): boolean => value.startsWith(CHOSEN);
export const jobOfChoice = (value: string): string => value.slice(CHOSEN.length);

export type Typing = { readonly by: Person; readonly at: PlaceId; readonly locale?: string; readonly typed: string };
export type Offered = { readonly name: string; readonly value: string };

const offeredIn = async (tx: Tx, words: Words, { by, at, locale }: Typing): Promise<readonly Offered[]> => {
  const cafes = await cafesHere(tx, at, by.id);
  const mine = [];
  for (const cafe of cafes) if (await mayIn(tx, cafe.id, by, 'answer')) mine.push(cafe);
  const say = words.in(locale);
  const offered: Offered[] = [];
  for (const reminder of await openReminders(tx, mine.map(({ id }) => id))) {
    const cafe = mine.find(({ id }) => id === reminder.cafe);
    const due = clockTime(instant(reminder.due_at), { locale: words.nearest(locale), zone: cafe?.zone ?? 'UTC' });
    const numbers = await machineNumbers(tx, reminder.cafe);
    for (const job of await occurrencesOf(tx, reminder.id)) {
      const name = `${due} ${job.position} ${shortOf(say, job, numbers)}`;
      if (isOpen(job.state as JobState)) offered.push({ name: shortened(cafes.length > 1 && cafe ? `${cafe.name}, ${name}` : name, MOST_NAME), value: `${CHOSEN}${job.id}` });
    }
  }
  return offered;
};

/** Open jobs of the cafés somebody may answer for here, those first that hold what was typed. */
export const openJobsFor = async (store: Store, words: Words, typing: Typing): Promise<readonly Offered[]> => {
  const all = await read(store, (tx) => offeredIn(tx, words, typing));
  const typed = typing.typed.trim().toLowerCase();
  const fits = all.filter(({ name }) => name.toLowerCase().includes(typed));
  return (typed === '' ? all : fits).slice(0, MOST);
};
