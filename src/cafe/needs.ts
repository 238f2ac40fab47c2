import type { Button } from '../chat/message.ts';
import type { PersonId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import type { Store, Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import type { Say, Words } from '../words/catalogue.ts';
import type { Countries } from './countries.ts';
import type { HelpRole } from './help-role.ts';
import type { Follow } from './live.ts';
import type { ReadRequest } from './requests.ts';

/** The next list of a café: when it comes and what is on it, each job in a word or two. */
export type Tonight = { readonly at: Instant; readonly jobs: readonly string[] };

/** What another subject stores about a person: how much, and how the name is taken out while the facts stay. */
export type Trace = {
  /** A text with `{count}`: "{count, plural, one {# job} other {# jobs}} done". */
  readonly key: string;
  readonly count: (tx: Tx, person: PersonId) => Promise<number>;
  readonly forget: (tx: Tx, person: PersonId, now: Instant) => Promise<void>;
};

export type CafeNeeds = {
  readonly store: Store;
  readonly words: Words;
  readonly ids: Ids;
  readonly countries: Countries;
  /** What is asked for in plain words. */
  readonly requests: ReadRequest;
  /** Makes the jobs of a café that goes live. */
  readonly onLive: Follow;
  /** Reckons anew after hours, zone, machine or anything else of a café has changed. */
  readonly onChanged: Follow;
  readonly tonight: (tx: Tx, cafeId: string, now: Instant, say: Say) => Promise<Tonight | undefined>;
  /** Sends what is due and returns when it has arrived or a short time is over; without it a test is reported as under way. */
  readonly drain?: () => Promise<void>;
  readonly traces?: readonly Trace[];
  /** What /help offers of other subjects: at most two buttons for the owner and three for everyone else. */
  readonly helpButtons?: (role: HelpRole, cafeId: string | undefined, say: Say) => readonly Button[];
};
