import type { Cafe, Machine } from '../cafe/records.ts';
import type { Here, Subject } from '../cafe/subject.ts';
import type { PersonId } from '../chat/who.ts';
import type { Files } from '../store/files.ts';
import type { Ids } from '../store/id.ts';
import type { Store, Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import type { Words } from '../words/catalogue.ts';
import type { KnownAnswer } from './ask-known.ts';
import type { FromCard } from './ask-from-card.ts';
import type { Seen } from './ask-seen.ts';
import type { PictureFor } from './ask-show.ts';
import type { ClosesLeft } from './ask-turned.ts';
import type { Catalogue } from './catalogue.ts';
import type { Raised } from './danger-needs.ts';
import type { Finder } from './find.ts';
import type { Case, Model, RecordChance, Situation } from './model.ts';
import type { Findings } from './learned.ts';
import type { CaseRecord } from './records.ts';

export type DangerRaised = Raised & { readonly machine: string; readonly caseId: string };

export type AskNeeds = {
  readonly store: Store;
  readonly words: Words;
  readonly ids: Ids;
  /** Asks for something plainly, so that it is no complaint. */
  readonly isRequest: (text: string) => boolean;
  /** Where photos people send are kept. */
  readonly files: Files;
  readonly catalogue: Catalogue;
  /** By language. */
  readonly finders: ReadonlyMap<string, Finder>;
  /** A danger answer: the steps go out in the café's channel, whoever was asked. */
  readonly raise: (tx: Tx, danger: DangerRaised, now: Instant) => Promise<void>;
  /** Chances from the records of the café, asked of subjects to the right or beside. */
  readonly recordsFor: (tx: Tx, cafe: Cafe, machine: Machine, group: number | null, now: Instant) => Promise<readonly RecordChance[]>;
  /** What the record answers of itself for a group, so that nobody is asked again. */
  readonly answersFor: (tx: Tx, cafe: Cafe, machine: Machine, group: number | null, now: Instant) => Promise<readonly KnownAnswer[]>;
  readonly pictureFor: PictureFor;
  readonly closesLeft: ClosesLeft;
  /** Minutes that usually pass between asking a technician and their visit; undefined: not known here. */
  readonly technicianIn: (tx: Tx, cafe: string) => Promise<number | undefined>;
  /** What technicians found in the end, by case. */
  readonly foundIn: Findings;
  /** It was said to be fixed: whoever was to come is settled. */
  readonly fixed?: (tx: Tx, caseId: string, now: Instant) => Promise<void>;
  /** Jobs that cannot be offered now, by whoever is there. */
  readonly barredJobs: (tx: Tx, cafe: Cafe, person: PersonId, now: Instant) => Promise<readonly string[]>;
};

/** A case with everything it is reckoned from. */
export type Laid = { readonly model: Model; readonly situation: Situation; readonly aCase: Case };

export type Ask = Subject & {
  /** A job of the case was done: its result is one more fact. */
  readonly tried: (tx: Tx, caseId: string, job: string, result: 'cured' | 'better' | 'same', by: { readonly name: string }, now: Instant) => Promise<void>;
  /** Brings everything that shows the case up to date. */
  readonly refresh: (tx: Tx, caseId: string, now: Instant) => Promise<void>;
  /** A machine has to stay off: questions about it are put aside, none of them asks for hands at it. */
  readonly putAside: (tx: Tx, cafe: string, machine: string, but: string | null, now: Instant) => Promise<void>;
  /** Opens the questions about how the coffee tastes, after a burnt smell that was none. */
  readonly openTaste: (here: Here, cafe: string) => Promise<void>;
  /** Something is wrong in a card, or its check failed: the questions go on from there, in the case returned. */
  readonly fromCard: (tx: Tx, given: FromCard, now: Instant) => Promise<string | null>;
  /** Something seen that needs a technician becomes a case without questions; returns its id. */
  readonly openSeen: (tx: Tx, seen: Seen, now: Instant) => Promise<string>;
  readonly reckon: (tx: Tx, row: CaseRecord, now: Instant) => Promise<Laid | undefined>;
};
