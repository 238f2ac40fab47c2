import type { Instant } from '../time/instant.ts';
import type { Place } from './distance.ts';
import type { PartCount } from './kit.ts';
import type { Span } from './span.ts';

/** All that is known for a technician; null and empty lists are what nobody has asked or answered. */
export type HandoffFacts = {
  readonly cafe: {
    readonly name: string;
    readonly town: string;
    /** A part of town, vague enough for a stranger. */
    readonly area: string | null;
    readonly place: Place | null;
    readonly address: string | null;
    readonly door: string | null;
    readonly contact: { readonly name: string; readonly telephone: string } | null;
    readonly open: readonly Span[];
    readonly quiet: readonly Span[];
    readonly mayDecide: { readonly who: string; readonly upTo: number | null } | null;
  };
  readonly machine: {
    readonly kind: string | null;
    readonly groups: number | null;
    readonly groupsOut: readonly number[];
    readonly ageYears: number | null;
    readonly power: { readonly volts: number | null; readonly phases: number | null; readonly connection: 'plug' | 'fixed' | null; readonly gas: boolean } | null;
    readonly water: { readonly feed: 'mains' | 'tank' | null; readonly filterKind: string | null; readonly filterFittedAt: Instant | null } | null;
    readonly contract: 'warranty' | 'lease' | 'loan' | 'own' | null;
    readonly now: { readonly hot: boolean | null; readonly off: boolean | null; readonly waterShut: boolean | null; readonly labelled: boolean | null };
    readonly seals: readonly SealFacts[];
  };
  readonly fault: {
    /** Short name of what is wrong, as a key of the fault catalogue. */
    readonly symptom: string;
    readonly group: number | null;
    readonly words: { readonly text: string; readonly by: string } | null;
    readonly answers: readonly { readonly question: string; readonly answer: string }[];
    readonly swapTests: readonly { readonly test: string; readonly result: string }[];
    readonly changedLately: readonly string[];
    readonly tried: readonly string[];
    readonly causes: readonly LikelyCause[];
    readonly dangers: readonly string[];
    /** How things stand where somebody told of a danger; null: nobody did. */
    readonly danger: DangerNow | null;
    /** A service that comes round is due by then; null: it is about a fault. */
    readonly dueBy: Instant | null;
    /** Danger questions of this symptom that nobody has answered. */
    readonly openDangerQuestions: number;
  };
  readonly readings: {
    readonly gauges: readonly { readonly gauge: 'boiler' | 'pump'; readonly bar: number; readonly at: Instant }[];
    readonly tenSeconds: readonly { readonly group: number; readonly millilitres: number; readonly at: Instant }[];
    /** mg/L as CaCO3, behind the filter. */
    readonly hardness: number | null;
  };
  readonly photos: readonly { readonly shows: 'plate' | 'gauges' | 'leak' | 'filter label' | 'other'; readonly file: string }[];
  readonly bring: readonly PartCount[];
  readonly suits: readonly Span[];
  readonly answerBy: Instant | null;
};

export type SealFacts = {
  readonly group: number;
  readonly sizeMm: number | null;
  /** Above the seal; 0: none. */
  readonly shimMm: number | null;
  /** The marked side: up, down. */
  readonly sideUp: string | null;
  readonly screen: string | null;
  readonly fittedAt: Instant | null;
  /** Clock hour of the handle, as last read. */
  readonly handleHour: string | null;
};

/** `group`: only that group stands still. */
export type DangerNow = { readonly off: 'off' | 'group' | 'not off' | 'not known'; readonly offAt: Instant | null; readonly people: 'fine' | 'hurt' | 'out' | 'goes on' | 'not known' };

export type LikelyCause = { readonly cause: string; readonly chance: number; readonly worked: 'hot' | 'cold' | null };

export type MissingFact =
  | 'danger questions'
  | 'power'
  | 'water'
  | 'machine kind'
  | 'age'
  | 'contract'
  | 'who may decide'
  | 'which group'
  | 'what changed lately'
  | 'readings'
  | 'seal size'
  | 'photo of the plate'
  | 'state now';
