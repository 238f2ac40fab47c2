import type { Cafe } from '../cafe/records.ts';
import type { Here, Subject } from '../cafe/subject.ts';
import type { Message } from '../chat/message.ts';
import type { Ids } from '../store/id.ts';
import type { Store, Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import type { Words } from '../words/catalogue.ts';
import { DANGER_KINDS, type DangerKind } from './catalogue-schema.ts';
import type { Site } from './danger-views.ts';
import type { DangerTold } from './danger-words.ts';
import type { GroupTold } from './find-told.ts';
import type { DangerRecord } from './records.ts';

export type DangerNeeds = {
  readonly store: Store;
  readonly words: Words;
  readonly ids: Ids;
  /** Danger words in a sentence, and whether they can be meant otherwise. */
  readonly find: (text: string, locale: string) => DangerTold | undefined;
  /** Which group the sentence names. */
  readonly groupIn: (text: string, locale: string) => GroupTold | null;
  /** Asks the technician, as urgent; called once people are safe. Returns the name asked, if anyone can be. */
  readonly askTechnician: (tx: Tx, danger: DangerRecord, now: Instant) => Promise<string | undefined>;
  /** Whoever was asked because of it sees how it stands now. */
  readonly tellTechnician: (tx: Tx, danger: DangerRecord, now: Instant) => Promise<void>;
  /** The machine may have to go off: whatever else is being asked about it is put aside. */
  readonly putAside: (tx: Tx, cafe: string, machine: string, but: string | null, now: Instant) => Promise<void>;
  /** It was the coffee that tasted burnt: goes on with the questions about taste. */
  readonly openTaste: (here: Here, cafe: string) => Promise<void>;
};

/** `reckoned`: nobody told of it, it follows from the answers; the machine is marked at once, and it cannot be a false alarm. */
export type Raised = {
  readonly cafe: Cafe;
  readonly machine: string | null;
  readonly group: number | null;
  readonly kind: string;
  readonly act: string;
  readonly by: { readonly id: Here['by']['id']; readonly name: string };
  readonly caseId: string | null;
  readonly text: string;
  readonly reckoned?: true;
};

export type Danger = Subject & {
  readonly raise: (tx: Tx, danger: Raised, now: Instant) => Promise<void>;
  /** Every danger to choose from. */
  readonly whichKind: (locale: string) => Message;
  /** Says once a day, first thing, that a machine must stay off; in place of the jobs that need it on. */
  readonly stillOff: (tx: Tx, cafe: Cafe, machine: string, now: Instant) => Promise<void>;
  /** A group is taken out of use at the bar, or is back in use; what a danger took out stays out until a technician has looked. */
  readonly groupOut: (tx: Tx, machine: string, group: number, out: boolean) => Promise<void>;
  /** Detergent was rinsed out by its card: the groups it had taken out may serve again. */
  readonly rinsed: (tx: Tx, machine: string, now: Instant) => Promise<void>;
  /** A technician has looked: the machine (or its groups) may be used again. */
  readonly free: (tx: Tx, machine: string, by: string, reason: string, now: Instant) => Promise<void>;
};

export const isDangerKind = (text: string): text is DangerKind => (DANGER_KINDS as readonly string[]).includes(text);

export const siteOf = (cafe: Cafe): Site => ({ switchOff: cafe.switch_off, breaker: cafe.breaker, waterTap: cafe.water_tap, emergency: cafe.emergency, gas: cafe.gas_emergency, poison: cafe.poison_line });
export const NO_SITE: Site = { switchOff: null, breaker: null, waterTap: null, emergency: null, gas: null, poison: null };
