import { DateTime } from 'luxon';
import type { DangerKind } from '../faults/catalogue-schema.ts';
import { dangerSteps, type Site } from '../faults/danger-views.ts';
import { reckonedText } from '../routine/often.ts';
import { whenText, type JobView, type Show } from '../routine/jobs-view.ts';
import type { Instant } from '../time/instant.ts';
import { listed, shortDate } from '../words/format.ts';

/** Who is called for what; a number left out is not known and leaves room to write. */
export type SheetCall = { readonly who: string; readonly number: string | null };

export type SheetFacts = {
  readonly cafe: string;
  readonly now: Instant;
  readonly site: Site;
  readonly gas: boolean;
  readonly calls: readonly SheetCall[];
  readonly jobs: readonly Pick<JobView, 'job' | 'often' | 'moment' | 'off'>[];
  /** What is fitted, a finished line a group. */
  readonly fitted: readonly string[];
};

export type SheetBlock = { readonly title: string; readonly lines: readonly string[] };

/** The wall page as plain text in its places. */
export type Sheet = {
  readonly title: string;
  readonly off: SheetBlock;
  readonly calls: readonly string[];
  readonly dangerTitle: string;
  readonly danger: readonly SheetBlock[];
  readonly routineTitle: string;
  readonly routine: readonly SheetBlock[];
  readonly fitted: SheetBlock;
  readonly foot: string;
};

const KINDS: readonly DangerKind[] = ['fire', 'electric', 'gas', 'person', 'scald', 'steam', 'pressure', 'flood', 'chemical'];

/** Steps as the chat gives them, without what only a chat would say of itself. */
const stepsFor = ({ say }: Show, kind: DangerKind, site: Site): readonly string[] => {
  const steps = dangerSteps(say, kind, site);
  const gas = site.gas ?? site.emergency ?? say('danger.gas.unknown');
  if (kind === 'gas') return [steps[0] ?? '', steps[1] ?? '', say('sheet.gas.call', { gas }), steps[3] ?? ''];
  if (kind === 'person') return [...steps.slice(0, 3), say('sheet.person.off')];
  return steps.slice(0, 3);
};

const MOMENTS = ['before-opening', 'cold', 'quiet', 'clock', 'at-closing'] as const;

/** How often, without the moment that already stands above; Monday is 1, and 2024-01-01 was one. */
const oftenText = ({ say, reader }: Show, often: JobView['often']): string => {
  const day = (n: number, width: 'ccc' | 'cccc'): string => DateTime.utc(2024, 1, n, { locale: reader.locale }).toFormat(width);
  switch (often.kind) {
    case 'daily':
      return say('routine.often.daily');
    case 'weekly':
      return say('routine.often.weekly', { every: often.every, days: listed(often.days.map((each) => day(each, 'ccc')), reader.locale) });
    case 'monthly':
      return say('routine.often.monthly', { nth: often.nth, day: day(often.day, 'cccc') });
    case 'use':
    case 'forecast':
    case 'around':
      return reckonedText(say, reader.locale, often);
    case 'other':
      return say('routine.often.other');
  }
};

const whenOn = (show: Show, job: SheetFacts['jobs'][number]): string => (job.moment.kind === 'clock' || job.moment.kind === 'before-opening' ? whenText(show, job) : oftenText(show, job.often));

const routineBlocks = (show: Show, jobs: SheetFacts['jobs']): readonly SheetBlock[] =>
  MOMENTS.flatMap((kind) => {
    const some = jobs.filter(({ moment, off }) => moment.kind === kind && !off);
    if (some.length === 0) return [];
    return [{ title: show.say(`sheet.moment.${kind}`), lines: some.map((job) => show.say('sheet.job', { job: show.say(`routine.job.${job.job}`), when: whenOn(show, job) })) }];
  });

const BLANK = '____________________';

export const sheetOf = (show: Show, facts: SheetFacts): Sheet => {
  const { say, reader } = show;
  const { site } = facts;
  const place = (key: string, value: string | null): string => say(`sheet.place.${key}`, { where: value ?? BLANK });
  return {
    title: say('sheet.title', { cafe: facts.cafe }),
    off: { title: place('switch', site.switchOff), lines: [place('breaker', site.breaker), place('tap', site.waterTap)] },
    calls: facts.calls.map(({ who, number }) => say('sheet.call', { who, number: number ?? BLANK })),
    dangerTitle: say('sheet.danger'),
    danger: KINDS.filter((kind) => kind !== 'gas' || facts.gas).map((kind) => ({ title: say(`danger.kind.${kind}`), lines: stepsFor(show, kind, site) })),
    routineTitle: say('sheet.routine'),
    routine: routineBlocks(show, facts.jobs),
    fitted: { title: say('sheet.fitted'), lines: facts.fitted },
    foot: say('sheet.foot', { date: shortDate(facts.now, reader) }),
  };
};
