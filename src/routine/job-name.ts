import type { Say } from '../words/catalogue.ts';

const named = (say: Say, name: string, group: number | null, machine: number | null): string => {
  const ofGroup = group === null ? name : say('routine.of-group', { job: name, group });
  return machine === null ? ofGroup : say('routine.of-machine', { job: ofGroup, machine });
};

/** `New seal, group 2`; `machine`: its number, where a café has several. */
export const jobName = (say: Say, job: string, group: number | null, machine: number | null = null): string => named(say, say(`routine.job.${job}`), group, machine);

/** In a word or two: `seal, group 2`. */
export const jobShort = (say: Say, job: string, group: number | null, machine: number | null = null): string => named(say, say(`routine.job.${job}.short`), group, machine);

/** A job of a café by its short name; `numbers`: its machines by their place, empty where it has one. */
export const shortOf = (say: Say, { job, group_number: group, machine }: { readonly job: string; readonly group_number: number | null; readonly machine: string | null }, numbers: ReadonlyMap<string, number>): string =>
  jobShort(say, job, group, numbers.get(machine ?? '') ?? null);
