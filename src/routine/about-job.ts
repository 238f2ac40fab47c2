import { folded } from '../cafe/fold.ts';
import { cafeById } from '../cafe/records.ts';
import { informed, type ReadRequest } from '../cafe/requests.ts';
import { mayIn } from '../cafe/rights.ts';
import { WHICH_CAFE, type Said, type WhichCafe, type WordsRoute } from '../cafe/subject.ts';
import type { Moment } from '../cafe/hours-moments.ts';
import type { Answer } from '../chat/incoming.ts';
import { message, type Message } from '../chat/message.ts';
import type { Tx } from '../store/store.ts';
import { read } from '../store/transact.ts';
import { instant } from '../time/instant.ts';
import type { Say } from '../words/catalogue.ts';
import { dateAndTime } from '../words/format.ts';
import { jobName } from './job-name.ts';
import { whenLine, type Show } from './jobs-view.ts';
import type { DoneNeeds } from './list-desk.ts';
import { dutyOften } from './often.ts';
import { dutiesOf, type Duty, type Occurrence } from './records.ts';
import type { Job } from './standard.ts';

/** One word for one or several of a thing, as far as that can be told by its end. */
const plain = (text: string): string => folded(text).split(' ').map((word) => (word.length > 3 ? word.replace(/(?:es|s)$/, '') : word)).join(' ');

const namesOf = (say: Say, job: string): readonly string[] => [...say(`routine.job.${job}.names`).split(', '), say(`routine.job.${job}.short`)].map(plain);

/** The duties that are meant by what was said, in any of these languages; those of one job. */
export const meant = (duties: readonly Duty[], said: string, tongues: readonly Say[]): readonly Duty[] => {
  const rest = ` ${plain(said)} `;
  const named = duties.filter(({ job }) => tongues.some((say) => namesOf(say, job).some((name) => name !== '' && rest.includes(` ${name} `))));
  return named.filter(({ job }) => job === named[0]?.job);
};

const lastDone = (tx: Tx, cafe: string, job: string): Promise<Occurrence | undefined> =>
  tx.selectFrom('occurrence').selectAll().where('cafe', '=', cafe).where('job', '=', job).where('state', '=', 'done').orderBy('done_at', 'desc').limit(1).executeTakeFirst();

const view = (show: Show, duty: Duty, job: Job | undefined, next: number | null, last: Occurrence | undefined): Message => {
  const { say, reader } = show;
  const when = whenLine(show, { often: dutyOften(duty, job), moment: JSON.parse(duty.moment) as Moment, state: job?.state ?? 'either' });
  const done = last?.done_at == null ? say('routine.about.never') : say('routine.about.last', { when: dateAndTime(instant(last.done_at), reader), name: last.by_name ?? '' });
  return message([
    jobName(say, duty.job, null),
    duty.switched_off === 1 ? say('routine.jobs.off') : when,
    done,
    ...(next === null || duty.switched_off === 1 ? [] : [say('routine.job-next', { when: dateAndTime(instant(next), reader) })]),
  ]);
};

/** "How often do we backflush?", "when did we last clean the screens?": one job of the routine, when it was done and when it comes. */
export const aboutJob = ({ store, words, jobs }: DoneNeeds, requests: ReadRequest): readonly WordsRoute[] =>
  informed('routine.about', 'job', requests, (said: Said) =>
    read(store, async (tx): Promise<Answer | WhichCafe | undefined> => {
      const [id] = said.cafes;
      if (said.cafes.length > 1) return WHICH_CAFE;
      const cafe = id === undefined ? undefined : await cafeById(tx, id);
      if (!cafe || !(await mayIn(tx, cafe.id, said.by, 'see'))) return undefined;
      const duties = meant(await dutiesOf(tx, cafe.id), requests(said.text)?.rest ?? '', [said.locale, 'en'].map((locale) => words.in(locale)));
      const duty = duties.find(({ switched_off: off }) => off === 0) ?? duties[0];
      if (!duty) return undefined;
      const dates = duties.flatMap(({ next_due: at, active }) => (at === null || active === 0 ? [] : [at]));
      const show: Show = { say: words.in(said.locale), reader: { locale: said.locale, zone: cafe.zone } };
      return { kind: 'say', message: view(show, duty, jobs.find((job) => job.id === duty.job), dates.length === 0 ? null : Math.min(...dates), await lastDone(tx, cafe.id, duty.job)) };
    }),
  );
