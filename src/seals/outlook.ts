import type { Survival } from './change-date.ts';

/** What is likelier to end the ring: the seal itself, or its handle past the limit. */
export type LargerHazard = 'seal' | 'handle';

export type Outlook = {
  /** Chance that neither has ended it after this many days from now. */
  readonly stays: Survival;
  /** Which of the two is likelier to end it within `days` from now. */
  readonly larger: (days: number) => LargerHazard;
};

/** Seal and handle as a product of survivals, each from now on. A reading must feed only one of them. */
export const outlook = (seal: Survival, handle: Survival): Outlook => ({
  stays: (days) => seal(days) * handle(days),
  larger: (days) => (handle(days) < seal(days) ? 'handle' : 'seal'),
});
