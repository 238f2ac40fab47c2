/** What is or was fitted in a group, as it is known; a corrected line stays, with the one that took its place. */
export type SealFittingRow = {
  id: string;
  cafe: string;
  machine: string;
  group_number: number;
  /** seal, screen. */
  part: string;
  /** When it went in; null where nobody knows. */
  fitted_at: number | null;
  /** Since when it is looked after here. */
  met_at: number;
  out_at: number | null;
  /** Marked thickness of a seal in millimetres. */
  size_mm: number | null;
  outside_mm: number | null;
  inside_mm: number | null;
  profile: string | null;
  /** rubber, silicone. */
  material: string | null;
  /** The marked side: up, down. */
  side_up: string | null;
  shim_mm: number | null;
  /** How a screen is held: screw, seal, block. */
  fixing: string | null;
  /** due, leaked, look, other. */
  why_out: string | null;
  /** How it was in the hand: sound, bad, not-looked. */
  came_out: string | null;
  by_person: string | null;
  by_name: string;
  at: number;
  superseded_by: string | null;
};

/** One thing read or seen at a group. */
export type SealReadingRow = {
  id: string;
  cafe: string;
  machine: string;
  group_number: number;
  look: string | null;
  /** handle, feel, finger, leak, shim, screen. */
  what: string;
  /** Degrees right of straight or `stop` for a handle; otherwise a word. */
  value: string;
  /** cold, hot. */
  machine_state: string;
  by_person: string | null;
  by_name: string;
  at: number;
  superseded_by: string | null;
};

/** A look at all groups of a machine, under way or over. */
export type SealLookRow = {
  id: string;
  cafe: string;
  machine: string;
  occurrence: string | null;
  by_person: string | null;
  by_name: string;
  machine_state: string | null;
  group_number: number;
  /** state, handle, feel, finger, done. */
  step: string;
  started_at: number;
  ended_at: number | null;
};

/** What a look came to for one group, as it was told. */
export type SealVerdictRow = {
  id: string;
  look: string;
  cafe: string;
  machine: string;
  group_number: number;
  /** JSON of `seals/record-verdict.ts`. */
  verdict: string;
  at: number;
  superseded_by: string | null;
};

/** A change of a seal that was given a day. */
export type SealPlanRow = {
  id: string;
  cafe: string;
  machine: string;
  group_number: number;
  due_at: number;
  /** planned, done, off. */
  state: string;
  by_person: string | null;
  by_name: string;
  at: number;
};

/** A seal that has to be ordered, asked of the owner once: the one for a group whose present seal came in at `seal_since`. */
export type SealOrderRow = {
  /** `machine.group.seal_since`. */
  id: string;
  cafe: string;
  machine: string;
  group_number: number;
  seal_since: number;
  /** The size to order; null where it is not known. */
  size_mm: number | null;
  /** Height of the shim to order with it; null: none. */
  shim_mm: number | null;
  /** 1: the seal lies ready, only its shim is wanted. */
  only_shim: number;
  /** When the present one is likely to be changed. */
  due_at: number;
  /** asked, ordered, have, later. */
  state: string;
  by_person: string | null;
  by_name: string | null;
  /** When it was asked or answered. */
  at: number;
};

/** Rows of the record of seals and screens. */
export type SealsTables = { seal_fitting: SealFittingRow; seal_reading: SealReadingRow; seal_look: SealLookRow; seal_verdict: SealVerdictRow; seal_plan: SealPlanRow; seal_order: SealOrderRow };
