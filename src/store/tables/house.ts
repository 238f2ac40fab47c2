/** Rows of the café and its people. Instants are epoch ms; local dates and times are text beside a zone; flags are 0 or 1. */
export type CafeRow = {
  id: string;
  name: string;
  town: string;
  zone: string;
  /** Language of the café's channel. */
  language: string;
  second_language: string | null;
  /** draft: being set up; live; paused: reminders rest; gone: the bot was removed. */
  state: string;
  /** Opening hours and exceptions as JSON of `cafe/hours.ts`; null while not known. */
  hours: string | null;
  exceptions: string;
  /** Minutes before closing time at which cleaning starts. */
  cleaning_before: number;
  quiet: string | null;
  rush: string | null;
  /** Server or other house the channel belongs to. */
  space: string | null;
  place: string | null;
  /** Where the owner hears what is not for the bar; null: directly. */
  owner_place: string | null;
  /** Who hears when a list stays without an answer, as JSON of `routine/ladder.ts`; null: nobody. */
  ladder: string | null;
  bar_role: string | null;
  switch_off: string | null;
  emergency: string | null;
  gas_emergency: string | null;
  poison_line: string | null;
  breaker: string | null;
  water_tap: string | null;
  door: string | null;
  address: string | null;
  telephone: string | null;
  country: string | null;
  /** Code of a region of it whose public holidays count too (`config/countries.yaml`); null: the country's alone. */
  region: string | null;
  /** Is the machine switched off over night: yes, no, or not known. */
  off_at_night: string | null;
  currency: string | null;
  /** Money and trade figures as JSON of `cafe/money.ts`; what is not in it is not known. */
  money: string;
  /** Step the set-up stands at; null once done. */
  step: string | null;
  /** What was read from the owner's words and waits for a yes, as JSON of `cafe/pending.ts`. */
  pending: string | null;
  /** How often each fact that was not known was asked about, as JSON: fact to count. */
  asked: string | null;
  loud_danger: number;
  learn_together: number;
  /** Public holidays: ask (or null), open as on any other day, or as the week says for holidays. */
  holiday_rule: string | null;
  /** A silent word so many minutes before the closing list; null: none. */
  nudge_minutes: number | null;
  /** How closing lists are shown: short, or long (and null). */
  list_form: string | null;
  rev: number;
  created_at: number;
  removed_at: number | null;
  /** When the owner paused it; null while it is at work. */
  paused_at: number | null;
  /** When it last came back from a pause of a week or more. */
  resumed_at: number | null;
};

export type MachineRow = {
  id: string;
  cafe: string;
  name: string | null;
  groups: number;
  /** HX, SB, SAT, 1B, TB, LV of the glossary; null while not known. */
  kind: string | null;
  lever: string | null;
  /** Does water rush into the tray when a shot is stopped (exhaust valve): yes, no; null while not known. */
  exhaust: string | null;
  gas: string | null;
  feed: string | null;
  /** warranty, lease, loan or own. */
  contract: string | null;
  /** in use, off safe, must stay off. */
  state: string;
  state_since: number | null;
  state_by: string | null;
  state_reason: string | null;
  /** Further facts (plate, volts, filter kind, installed) as JSON. */
  facts: string;
  created_at: number;
};

export type GroupRow = {
  id: string;
  machine: string;
  number: number;
  /** in use, out of use. */
  state: string;
  /** clear, or detergent may be in it. */
  residue: string;
  residue_since: number | null;
};

export type MemberRow = {
  id: string;
  cafe: string;
  /** Null for a first name without an account. */
  person: string | null;
  name: string;
  /** owner, bar, bar phone. */
  role: string;
  /** Last language the platform reported, for private answers. */
  language: string | null;
  /** May the bot write to this person unasked: yes given at set-up. */
  direct_ok: number;
  seen_at: number | null;
  created_at: number;
};

export type TechnicianRow = {
  id: string;
  cafe: string;
  /** Order of call: 1 is asked first. */
  position: number;
  name: string;
  telephone: string | null;
  person: string | null;
  place: string | null;
  zone: string | null;
  language: string | null;
  /** named (a name and a number), invited, linked, unlinked. */
  state: string;
  /** One-time code that links an account, and until when it counts. */
  code: string | null;
  code_until: number | null;
  linked_at: number | null;
  created_at: number;
};

/** What a person is answering with typed words, where: one open matter per person and place. */
export type DialogueRow = {
  id: string;
  place: string;
  person: string;
  cafe: string | null;
  kind: string;
  ref: string;
  asked_at: number;
};

/** Who was last seen with the bar's role in a café's channel: in direct messages the platform tells no roles. */
export type BarSeenRow = { cafe: string; person: string; at: number };

/** Events of the platform already taken, so that a repeat is known. */
export type SeenRow = { id: string; at: number };

/** Small facts of the program itself: rehearsal clock, registered commands, last id read in a channel. */
export type NoteRow = { key: string; value: string };

export type HouseTables = {
  cafe: CafeRow;
  machine: MachineRow;
  machine_group: GroupRow;
  member: MemberRow;
  technician: TechnicianRow;
  dialogue: DialogueRow;
  bar_seen: BarSeenRow;
  seen: SeenRow;
  note: NoteRow;
};
