import { button, message, type Choice, type Message, type Option } from '../chat/message.ts';
import { pagedOptions } from '../chat/pages.ts';
import { press } from '../chat/press.ts';
import type { Moment } from '../cafe/hours-moments.ts';
import type { Instant } from '../time/instant.ts';
import type { Say } from '../words/catalogue.ts';
import { dateAndTime, LINE_WIDTH, listed, type Reader } from '../words/format.ts';
import { DateTime } from 'luxon';
import { jobName } from './job-name.ts';
import { reckonedText, type Often } from './often.ts';

export type JobView = {
  readonly duty: string;
  readonly cafe: string;
  readonly job: string;
  readonly group: number | null;
  readonly state: 'hot' | 'cold' | 'either';
  readonly often: Often;
  readonly moment: Moment;
  readonly off: boolean;
  readonly who: string | null;
  readonly next: Instant | null;
};

export type Show = { readonly say: Say; readonly reader: Reader };

/** Monday is 1; 2024-01-01 was one. */
const dayName = (day: number, locale: string, width: 'ccc' | 'cccc' = 'ccc'): string => DateTime.utc(2024, 1, day, { locale }).toFormat(width);

const oftenText = ({ say, reader }: Show, often: Often): string => {
  switch (often.kind) {
    case 'daily':
      return say('routine.often.daily');
    case 'weekly':
      return say('routine.often.weekly', { every: often.every, days: listed(often.days.map((day) => dayName(day, reader.locale)), reader.locale) });
    case 'monthly':
      return say('routine.often.monthly', { nth: often.nth, day: dayName(often.day, reader.locale, 'cccc') });
    case 'use':
    case 'forecast':
    case 'around':
      return reckonedText(say, reader.locale, often);
    case 'other':
      return say('routine.often.other');
  }
};

const momentText = ({ say }: Show, moment: Moment): string => say(`routine.moment.${moment.kind}`, { time: moment.kind === 'clock' ? moment.time : '', minutes: 'minutes' in moment ? moment.minutes : 0 });

/** "every Thu, before switching on". */
export const whenText = (show: Show, job: Pick<JobView, 'often' | 'moment'>): string => show.say('routine.when', { often: oftenText(show, job.often), moment: momentText(show, job.moment) });

/** "Every Thu, before switching on. Machine off and cold.", or as much of it as one line holds. */
export const whenLine = (show: Show, job: Pick<JobView, 'often' | 'moment' | 'state'>): string => {
  const often = whenText(show, job);
  const when = `${often.charAt(0).toLocaleUpperCase(show.reader.locale)}${often.slice(1)}`;
  const whole = show.say('routine.job-when', { when, state: job.state });
  return whole.length <= LINE_WIDTH ? whole : `${when}.`;
};

/** All jobs of a café, to pick one and change it. */
export const jobsMessage = (show: Show, cafe: string, jobs: readonly JobView[], page: number): Message => {
  const { say } = show;
  const options: readonly Option[] = jobs.map((job) => ({ value: job.duty, label: jobName(say, job.job, job.group), hint: job.off ? say('routine.jobs.off') : whenText(show, job) }));
  if (options.length === 0) return message([say('routine.jobs.none')]);
  const choice: Choice = { ask: say('routine.jobs.pick'), press: press('routine.job', cafe), from: pagedOptions(options, page, { earlier: say('routine.jobs.earlier'), more: say('routine.jobs.more') }) };
  return message([say('routine.jobs', { count: jobs.filter(({ off }) => !off).length })], choice, [button(say('routine.ladder.button'), press('routine.ladder', cafe)), button(say('routine.correct.button'), press('routine.correct', cafe))]);
};

/** One job: when it comes, what it needs, and what can be changed. */
export const jobMessage = (show: Show, job: JobView): Message => {
  const { say } = show;
  const next = job.next === null ? [] : [say('routine.job-next', { when: dateAndTime(job.next, show.reader) })];
  const who = job.who === null ? [] : [say('routine.job-who', { name: job.who })];
  const lines = [jobName(say, job.job, job.group), job.off ? say('routine.jobs.off') : whenLine(show, job), ...next, ...who];
  const change = (what: string): ReturnType<typeof button> => button(say(`routine.change.${what}`), press('routine.change', job.duty, what));
  if (job.off) return message(lines.slice(0, 2), [change('on'), button(say('routine.change.back'), press('routine.jobs', job.cafe))]);
  return message(lines.slice(0, 4), [change('when'), change('often'), change('who')], [change('off'), button(say('routine.proof.button'), press('routine.proof-set', job.duty)), button(say('routine.change.back'), press('routine.jobs', job.cafe))]);
};

/** Where in the day; a cold job is never planned while the machine is hot. */
export const whenMessage = (show: Show, job: JobView): Message => {
  const { say } = show;
  const to = (kind: string): ReturnType<typeof button> => button(say(`routine.to.${kind}`), press('routine.set', job.duty, 'moment', kind));
  const time = button(say('routine.to.clock'), press('routine.time', job.duty));
  const back = button(say('routine.change.back'), press('routine.job-again', job.duty));
  return job.state === 'cold' ? message([say('routine.change.cold')], [to('cold'), back]) : message([say('routine.change.when-ask')], [to('at-closing'), to('before-opening'), to('quiet')], [time, back]);
};

export const oftenMessage = (show: Show, job: JobView): Message => {
  const { say } = show;
  const days: readonly Option[] = [1, 2, 3, 4, 5, 6, 7].map((day) => ({ value: String(day), label: dayName(day, show.reader.locale, 'cccc') }));
  const to = (kind: string): ReturnType<typeof button> => button(say(`routine.to.${kind}`), press('routine.set', job.duty, 'often', kind));
  return message(
    [say('routine.change.often-ask')],
    [...(job.often.kind === 'use' ? [button(say('routine.to.use'), press('routine.use', job.duty))] : []), to('daily'), to('fortnight'), to('monthly')],
    { ask: say('routine.change.days'), press: press('routine.days', job.duty), many: { least: 1, most: 7 }, from: days },
    [button(say('routine.change.back'), press('routine.job-again', job.duty))],
  );
};

export const whoMessage = (show: Show, job: JobView, people: readonly { readonly id: string; readonly name: string }[]): Message => {
  const { say } = show;
  const options: readonly Option[] = [{ value: '-', label: say('routine.who.anyone') }, ...people.slice(0, 24).map(({ id, name }) => ({ value: id, label: name }))];
  return message([say('routine.change.who-ask')], { ask: say('routine.change.who-ask'), press: press('routine.who', job.duty), from: options }, [button(say('routine.change.back'), press('routine.job-again', job.duty))]);
};
