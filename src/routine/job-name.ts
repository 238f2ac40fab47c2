import type { Say } from '../words/catalogue.ts';

const named = (say: Say, name: string, group: number | null): string => (group === null ? name : say('routine.of-group', { job: name, group }));

/** `New seal, group 2`. */
export const jobName = (say: Say, job: string, group: number | null): string => named(say, say(`routine.job.${job}`), group);

/** In a word or two: `seal, group 2`. */
export const jobShort = (say: Say, job: string, group: number | null): string => named(say, say(`routine.job.${job}.short`), group);
