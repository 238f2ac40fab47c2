import type { CafeHours } from '../cafe/hours.ts';
import type { Instant } from '../time/instant.ts';
import { fits, type Figures } from './card-fit.ts';
import type { Card, CardFact } from './cards-config.ts';
import { cools, needsItOn, takesApart } from './job-card.ts';

export type Known = 'yes' | 'no' | 'unknown';
export type CardFacts = Readonly<Record<CardFact, Known>>;

/** What is known of who wants to do the card. On a bar phone nobody is known until a name is chosen. */
export type Hands =
  | { readonly kind: 'person'; readonly shown: 'marked' | 'said' | 'no' }
  | { readonly kind: 'phone'; readonly chosen: 'marked' | 'said' | 'no' };

/** Someone else's card in progress on the same machine. */
export type Going = { readonly run: string; readonly job: string; readonly group: number | null; readonly by: string; readonly since: Instant; readonly apart: boolean; readonly onGrinder: boolean; /** Ended, and left in pieces. */ readonly over: boolean };

export type Situation = {
  readonly facts: CardFacts;
  readonly mustStayOff: boolean;
  /** It must stay off for gas or fire: nobody is to work near it, not even at the grinder. */
  readonly keepAway: boolean;
  readonly hours: CafeHours | null;
  readonly now: Instant;
  readonly figures: Figures;
  readonly groups: number;
  readonly group: number | null;
  readonly going: readonly Going[];
  readonly hands: Hands;
};

/** Whether a card may be begun, and if not, what is in the way. */
export type Gate =
  | { readonly kind: 'open'; readonly opens: Instant | null }
  | { readonly kind: 'stays-off' }
  | { readonly kind: 'not-here' | 'not-known'; readonly fact: CardFact }
  | { readonly kind: 'which-screen' }
  | { readonly kind: 'which-group' }
  | { readonly kind: 'going' | 'apart'; readonly other: Going }
  | { readonly kind: 'serving' }
  | { readonly kind: 'late'; readonly opens: Instant; readonly needs: number; readonly cooling: boolean }
  | { readonly kind: 'not-shown' | 'who' | 'done-before' };

/** Not known counts as not there where a wrong guess hurts somebody; elsewhere whoever stands there sees it. */
const MUST_BE_KNOWN: ReadonlySet<CardFact> = new Set(['exhaust']);
const SCREENS: ReadonlySet<CardFact> = new Set(['screen-screw', 'screen-press', 'screen-block']);

const machineGate = (card: Card, { facts }: Situation): Gate | undefined => {
  const gone = card.needs.find((fact) => facts[fact] === 'no') ?? card.without.find((fact) => facts[fact] === 'yes');
  if (gone) return { kind: 'not-here', fact: gone };
  const unsure = card.needs.find((fact) => facts[fact] === 'unknown' && MUST_BE_KNOWN.has(fact)) ?? card.without.find((fact) => facts[fact] === 'unknown');
  if (unsure) return { kind: 'not-known', fact: unsure };
  return card.needs.some((fact) => facts[fact] === 'unknown' && SCREENS.has(fact)) ? { kind: 'which-screen' } : undefined;
};

const othersGate = (card: Card, { going, group }: Situation): Gate | undefined => {
  const same = going.find((other) => !other.over && other.job === card.job && (other.group === group || group === null));
  if (same) return { kind: 'going', other: same };
  // Whoever switches on what somebody else has open hurts them; cold jobs may share one cool-down.
  const apart = going.find((other) => other.apart && !other.onGrinder);
  return apart && needsItOn(card) && !cools(card) ? { kind: 'apart', other: apart } : undefined;
};

const handsGate = (card: Card, { hands }: Situation): Gate | undefined => {
  if (card.training === 'none') return undefined;
  const known = hands.kind === 'person' ? hands.shown : hands.chosen;
  if (known === 'marked' || (known === 'said' && card.training === 'asked')) return undefined;
  if (card.training === 'asked') return { kind: 'done-before' };
  return { kind: hands.kind === 'phone' ? 'who' : 'not-shown' };
};

/** Gas and fire keep people away from the place, not only from the machine. */
export const keepAway = ({ state, state_reason: reason }: { readonly state: string; readonly state_reason: string | null }): boolean => state === 'must stay off' && (reason === 'gas' || reason === 'fire');

/** What is in the way of a card, most weighty first; `hands` last, so that nobody is asked for nothing. */
export const gateOf = (card: Card, situation: Situation): Gate => {
  // Nothing is opened or switched on; to label it, and to clean the grinder beside it, is another matter.
  if (situation.keepAway) return { kind: 'stays-off' };
  if (situation.mustStayOff && (needsItOn(card) || (takesApart(card) && card.for !== 'grinder'))) return { kind: 'stays-off' };
  const early = machineGate(card, situation) ?? (card.for === 'group' && situation.group === null && situation.groups > 1 ? ({ kind: 'which-group' } as const) : undefined) ?? othersGate(card, situation);
  if (early) return early;
  const fit = fits(card, situation.hours, situation.now, situation.figures);
  if (fit.kind !== 'fits') return fit;
  return handsGate(card, situation) ?? { kind: 'open', opens: fit.opens };
};
