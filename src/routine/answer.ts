import type { Instant } from '../time/instant.ts';

/** States of a job on a list, in the words of the glossary. `asked`: said done, and its end is being asked about. */
export type JobState = 'due' | 'part done' | 'asked' | 'soaking' | 'done' | 'later' | "can't" | 'left over' | 'not for us';

export type JobOnList = {
  readonly id: string;
  readonly state: JobState;
  /** Ends later or has a check of its own. */
  readonly ends: boolean;
  readonly byName: string | null;
  readonly byPerson: string | null;
  readonly doneAt: Instant | null;
};

/** What somebody says about jobs of one list. `checked`: they pressed the check itself, nothing is left to ask. */
export type JobAct =
  | { readonly kind: 'done'; readonly checked: boolean }
  | { readonly kind: 'soaking' }
  /** At some groups of the machine; their numbers as `1.2`. */
  | { readonly kind: 'part done'; readonly groups: string }
  /** `notBegun`: somebody said so, rather than leaving it where it was. */
  | { readonly kind: 'left over'; readonly notBegun?: true }
  | { readonly kind: 'later'; readonly until: Instant }
  | { readonly kind: "can't"; readonly reason: string }
  | { readonly kind: 'not for us' }
  | { readonly kind: 'take back' };

export type JobChange = { readonly id: string; readonly to: JobState; readonly until?: Instant; readonly reason?: string };

/** `already`: somebody was first, and who. */
export type Answered = { readonly changes: readonly JobChange[]; readonly already: readonly JobOnList[] };

const OPEN: ReadonlySet<JobState> = new Set(['due', 'part done', 'asked', 'soaking', 'later']);

export const isOpen = (state: JobState): boolean => OPEN.has(state);

const changeFor = (job: JobOnList, act: JobAct): JobChange | undefined => {
  switch (act.kind) {
    case 'done':
      return { id: job.id, to: job.ends && !act.checked ? 'asked' : 'done' };
    case 'soaking':
      return { id: job.id, to: 'soaking' };
    case 'part done':
      return { id: job.id, to: 'part done', reason: act.groups };
    case 'left over':
      return { id: job.id, to: 'left over' };
    case 'later':
      return { id: job.id, to: 'later', until: act.until };
    case "can't":
      return { id: job.id, to: "can't", reason: act.reason };
    case 'not for us':
      return { id: job.id, to: 'not for us' };
    case 'take back':
      return { id: job.id, to: 'due' };
  }
};

/** What a state may still become: a job done stays done until it is taken back; one left over, can't or not for us may still be done. */
const may = (job: JobOnList, act: JobAct): boolean => {
  if (act.kind === 'take back') return job.state !== 'due';
  if (act.kind === 'done') return job.state !== 'done' && !(job.state === 'asked' && !act.checked);
  return isOpen(job.state);
};

/** The changes an act brings to these jobs. Said twice it changes nothing, and tells who was first. */
export const answer = (jobs: readonly JobOnList[], act: JobAct): Answered => ({
  changes: jobs.filter((job) => may(job, act)).flatMap((job) => changeFor(job, act) ?? []),
  already: jobs.filter((job) => !may(job, act) && job.state === 'done'),
});
