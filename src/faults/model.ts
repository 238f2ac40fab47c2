/**
 * What the reasoning engine knows, as plain data. No text for people and nothing of the trade stands here: ids are
 * opaque, every number is a chance, a minute or an amount of the café's money.
 */

/** Who can end a cause for good. `staff` and `trained` may still need a technician when the job fails. */
export type Fixer = 'staff' | 'trained' | 'technician' | 'other-trade' | 'nobody';

/** What must be done while a cause may be there, mildest first. */
export type Danger = 'none' | 'group-out' | 'machine-off' | 'leave-room';

/** What a cause can hurt. `people` covers fire and pressure; it sets the chance from which on its danger is acted on. */
export type Harm = 'nothing' | 'machine' | 'people';

/** How far a cause reaches: one group, or everything the machine makes. */
export type Reach = 'group' | 'machine';

export type Cause = {
  readonly id: string;
  readonly fixer: Fixer;
  readonly danger: Danger;
  readonly harm: Harm;
  readonly reach: Reach;
  /** Share (0..1) of the trade behind that group or machine which is lost while the cause stands and it stays in use. */
  readonly severity: number;
  /** Drinks thrown away in an hour of trade while it stays in use: what leaving the group out saves. At least 0. */
  readonly waste: number;
  /** Least chance before the first answer (0..0.05); above 0 for electrical and pressure causes. */
  readonly floor: number;
  /** Ids of the two single causes that are there together; empty for a single cause. */
  readonly parts: readonly string[];
  /** True for "something else": flat on every fact unless the fact gives it a row. */
  readonly other: boolean;
};

/**
 * Something that is so or not so at the machine. A row lists the chance of each state; a fact without a parent has one
 * row, a fact with a parent one row per state of the parent. Rows sum to 1.
 */
export type Fact = {
  readonly id: string;
  readonly states: readonly string[];
  /** Another fact, or null. Parents form no circle. */
  readonly parent: string | null;
  /** Rows for every cause that has none of its own: how often each state is seen anyway. */
  readonly usual: readonly (readonly number[])[];
  readonly byCause: Readonly<Record<string, readonly (readonly number[])[]>>;
  /**
   * Index of the state seen when no cause acts on it, or null. For a pair without a row of its own it stays idle only
   * if both parts leave it idle; with null the pair's row is the mean of its parts'.
   */
  readonly idle: number | null;
};

export type Answer = {
  readonly id: string;
  /** Chance of this answer in each state of the fact, for someone who does answer. Over all answers they sum to 1. */
  readonly given: readonly number[];
  /** Anything but `none` ends the asking at once. */
  readonly danger: Danger;
};

/** State the machine must be in. */
export type MachineState = 'any' | 'hot' | 'cold';

/** One reading of one fact. "Don't know" is always allowed and not listed among the answers. */
export type Question = {
  readonly id: string;
  readonly fact: string;
  readonly answers: readonly Answer[];
  /** Chance (0..1) of "don't know", the same in every state: it says nothing about the cause. */
  readonly unsure: number;
  readonly minutes: number;
  /** Money beside the minutes (a strip, a coffee), plus whatever it is worth not to bother people. */
  readonly cost: number;
  /** True when hands go to the machine: not offered while a danger stands open. */
  readonly handsOn: boolean;
  readonly machine: MachineState;
  /** Asked before everything else, whatever it costs; open until answered by something other than "don't know". */
  readonly danger: boolean;
};

export type Job = {
  readonly id: string;
  readonly machine: MachineState;
  /** Hands-on minutes of one person. */
  readonly minutes: number;
  /** Money for parts and powder. */
  readonly parts: number;
  /** Chance (0..1) to end a single cause, by its id; absent means 0. Pairs follow from their parts. */
  readonly cures: Readonly<Record<string, number>>;
  /** Single causes under which doing it can hurt someone or break something; pairs follow from their parts. */
  readonly unsafeUnder: readonly string[];
  /** True when only someone who was shown it may do it. */
  readonly training: boolean;
  readonly handsOn: boolean;
  /** It begins with hands off, until the pressure has left by itself. */
  readonly waits?: boolean;
  /** What cannot serve meanwhile, and for how many minutes (0 for a cold job before switching on). */
  readonly down: { readonly reach: Reach; readonly minutes: number };
};

/** The causes that can lie behind one complaint, and what may be asked about it. */
export type Symptom = {
  readonly id: string;
  /** Weights above 0, normalised by the engine; pairs and "something else" are listed like any other cause. */
  readonly causes: readonly { readonly cause: string; readonly weight: number }[];
  readonly questions: readonly string[];
  /** What must be done before any question at all; `none` for most. */
  readonly immediate: Danger;
};

export type Model = {
  readonly causes: readonly Cause[];
  readonly facts: readonly Fact[];
  readonly questions: readonly Question[];
  readonly jobs: readonly Job[];
  readonly symptoms: readonly Symptom[];
};

/** What is known in one case, in the order in which it came. */
export type Reading =
  | { readonly kind: 'answer'; readonly question: string; readonly answer: string }
  | { readonly kind: 'unsure'; readonly question: string }
  /** A fact on record: how likely the record would be in each state of the fact; one 1 and else 0 when certain. */
  | { readonly kind: 'record'; readonly fact: string; readonly likelihood: readonly number[] }
  /** A job done; `better` is less than before, yet not gone. */
  | { readonly kind: 'tried'; readonly job: string; readonly result: 'cured' | 'better' | 'same' };

/** What the records say about one cause: its chance now, and the chance its weight already contained. */
export type RecordChance = { readonly cause: string; readonly now: number; readonly usual: number };

/** One stretch of opening time, counted from now. */
export type TradeHour = { readonly startsIn: number; readonly minutes: number; readonly coffeesAnHour: number };

/** A moment at which the machine is cold and may be opened, in minutes from now, and how long before it must heat up. */
export type ColdSlot = { readonly startsIn: number; readonly minutes: number };

/** Amounts in the café's money. What the café has not set is missing here; the engine then assumes and says so. */
export type Money = {
  readonly callFee?: number;
  readonly outOfHoursExtra?: number;
  readonly otherTradeFee?: number;
  /** Paid when a booked visit is called off. */
  readonly cancelFee?: number;
  readonly staffAnHour?: number;
  /** What one drink leaves after beans, milk and cup. */
  readonly margin?: number;
};

/** The café at this moment. Minutes count from now. */
export type Situation = {
  readonly groups: number;
  /** Drinks an hour one group can make. */
  readonly capacity: number;
  readonly trade: readonly TradeHour[];
  readonly machine: 'hot' | 'cold';
  /** Coming chances for cold jobs, soonest first; the first starts in 0 when the machine is cold now. */
  readonly coldSlots: readonly ColdSlot[];
  /** Minutes from a call to the visit. */
  readonly technicianIn: number;
  readonly otherTradeIn: number;
  readonly outOfHours: boolean;
  readonly money: Money;
  /** Whether someone is there who was shown the jobs that need it. */
  readonly trained: boolean;
  /** Jobs that cannot be done now: no part in stock, leased machine, not enough time. */
  readonly barredJobs: readonly string[];
};

/** One case as the engine sees it. */
export type Case = {
  readonly symptom: string;
  readonly readings: readonly Reading[];
  readonly records: readonly RecordChance[];
};
