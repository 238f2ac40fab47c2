import type { Gateway } from './gateway.ts';
import type { Interactions } from './interactions.ts';
import type { Journal } from './journal.ts';
import type { World } from './world.ts';

/** Something the bot did that the platform does not take, or that a person would see as broken. */
export type Problem = { readonly kind: string; readonly detail: string };
/** The parts of the double that routes and persons work with. */
export type Inside = {
  readonly world: World;
  readonly journal: Journal;
  readonly gateway: Gateway;
  readonly interactions: Interactions;
  readonly problems: Problem[];
  /** Where the double's own answers stray from the published description. */
  readonly doubts: string[];
};

export const kinds = (problems: readonly Problem[]): string[] => problems.map(({ kind }) => kind);
