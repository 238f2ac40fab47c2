import { cafeById } from '../cafe/records.ts';
import { informed, type ReadRequest } from '../cafe/requests.ts';
import { mayIn } from '../cafe/rights.ts';
import { WHICH_CAFE, type Said, type WhichCafe, type WordsRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message } from '../chat/message.ts';
import type { Tx } from '../store/store.ts';
import { read } from '../store/transact.ts';
import { later, days, instant } from '../time/instant.ts';
import { shortDate, shortened } from '../words/format.ts';
import type { DoneNeeds, ListDesk } from './list-desk.ts';
import type { Reminder } from './records.ts';
import { summaryLine } from './views.ts';

const LINE = 64;
const MOST = 4;

/** The last lists that came, oldest first. */
const lastLists = async (tx: Tx, cafe: string, now: number): Promise<readonly Reminder[]> =>
  (await tx.selectFrom('reminder').selectAll().where('cafe', '=', cafe).where('due_at', '<=', now).where('due_at', '>', later(instant(now), days(-7))).orderBy('due_at', 'desc').orderBy('id', 'desc').limit(MOST).execute()).toReversed();

/** "Was the closing done yesterday?": the last lists, a line each. It tells what was done, and ranks nobody. */
export const lately = ({ store, words }: DoneNeeds, { showIn, viewOf }: ListDesk, requests: ReadRequest): readonly WordsRoute[] => {
  const answer = (said: Said): Promise<Answer | WhichCafe | undefined> =>
    read(store, async (tx): Promise<Answer | WhichCafe | undefined> => {
      const [id] = said.cafes;
      if (said.cafes.length > 1) return WHICH_CAFE;
      const cafe = id === undefined ? undefined : await cafeById(tx, id);
      if (!cafe || !(await mayIn(tx, cafe.id, said.by, 'see'))) return undefined;
      const show = showIn(cafe, said.locale);
      const lists = await lastLists(tx, cafe.id, said.now);
      const lines = await Promise.all(lists.map(async (reminder) => shortened(show.say('routine.lately.list', { day: shortDate(instant(reminder.due_at), show.reader), what: summaryLine(show, await viewOf(tx, reminder)) }), LINE)));
      return { kind: 'say', message: message(lines.length > 0 ? lines : [words.in(said.locale)('routine.lately.none')]) };
    });
  return informed('routine.lately', 'lately', requests, answer);
};
