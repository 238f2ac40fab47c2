/** A job card in progress or ended; how it moves is `src/seals/job-card.ts`. */
export type CardRunRow = {
  id: string;
  cafe: string;
  machine: string;
  group_number: number | null;
  /** The card, and the job it was opened for (a job that names no kind of screen opens one of several cards). */
  job: string;
  for_job: string;
  case_id: string | null;
  place: string;
  by_person: string | null;
  by_name: string;
  /** Who has their hands at it; on a bar phone the name that was chosen. */
  doer_person: string | null;
  doer_name: string;
  /** on, paused, wrong, ended. */
  state: string;
  screen: number;
  go_to: number | null;
  assured_part: number | null;
  assured_by: string | null;
  assured_at: number | null;
  apart: number;
  residue: number;
  result: string | null;
  answer: string | null;
  shape: string;
  started_at: number;
  touched_at: number;
  ended_at: number | null;
};

/** An answer to the check of a card: at its end, or asked again later. */
export type CardCheckRow = {
  id: string;
  run: string;
  cafe: string;
  job: string;
  machine: string;
  group_number: number | null;
  /** end, two-shots, quiet, week. */
  asked_when: string;
  answer: string;
  leads: string;
  by_person: string | null;
  by_name: string;
  at: number;
};

/** Who has been shown a card: marked by an owner, or said so when asked. */
export type CardShownRow = {
  id: string;
  cafe: string;
  job: string;
  /** Null for a first name without an account. */
  person: string | null;
  name: string;
  /** marked, said. */
  how: string;
  marked_by: string | null;
  marked_name: string;
  at: number;
};

/** Rows of the job cards of src/seals. */
export type CardsTables = { card_run: CardRunRow; card_check: CardCheckRow; card_shown: CardShownRow };
