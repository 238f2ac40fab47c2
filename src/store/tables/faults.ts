/** A question "do we need someone?", from complaint to its end. */
export type CaseRow = {
  id: string;
  cafe: string;
  machine: string;
  group_number: number | null;
  group_asked: number;
  /** Which way the case goes on: where | which | group | ask | verdict | paused | closed. */
  step: string;
  /** open, waiting for the bar, paused, fixed, not fixed, booked, came back, closed. */
  state: string;
  symptom: string | null;
  /** Symptoms still to choose from, or told of in the same sentence, as JSON. */
  nearest: string;
  complaint: string;
  asker: string;
  asker_name: string;
  /** Where it was asked, and where it is shown: JSON of keys of the outbox. */
  place: string;
  shown: string;
  /** Answers and tries in their order, as JSON of `faults/model.ts` readings with who and when. */
  readings: string;
  question: string | null;
  /** A danger is not ruled out while the question is asked: nothing is used until then. */
  hold: number;
  /** What was decided, as JSON; null before. */
  verdict: string | null;
  photos: string;
  /** hot, cold: how the machine stood when the questions began from a job card; null: nobody said. */
  machine_state: string | null;
  opened_at: number;
  updated_at: number;
  closed_at: number | null;
  rev: number;
};

/** A danger told of: steps first, everything else after. */
export type DangerRow = {
  id: string;
  cafe: string;
  machine: string | null;
  group_number: number | null;
  kind: string;
  /** told, off, out of reach, everyone out, hurt, clear, goes on, settled, rinsed, false alarm, over. */
  state: string;
  text: string;
  by_person: string;
  by_name: string;
  off_at: number | null;
  off_by: string | null;
  case_id: string | null;
  /** 1: it follows from the answers, nobody told of it. */
  reckoned: number;
  /** 1: the group stood still already when this danger took it out, so its end does not bring it back. */
  was_out: number;
  at: number;
  rev: number;
};

export type FaultsTables = { fault_case: CaseRow; danger: DangerRow };
