/** A message of ours: to be sent, sent, or to be shown anew. One row a message, unique by key. */
export type OutboxRow = {
  id: string;
  key: string;
  cafe: string | null;
  place: string;
  kind: string;
  /** The notice as data: ids, or a finished message. */
  data: string;
  /** 0 danger, 1 answer, 2 visit, 3 reminder, 4 the rest. */
  priority: number;
  silent: number;
  notify: string;
  reply_to: string | null;
  not_before: number;
  /** After this it is no longer worth sending; null: always. */
  not_after: number | null;
  /** ready, claimed, sent, failed, dropped. */
  state: string;
  attempts: number;
  claimed_at: number | null;
  /** When the attempt under way first went out; the nonce's window counts from here. */
  first_try_at: number | null;
  message_id: string | null;
  sent_at: number | null;
  version: number;
  shown_version: number;
  /** Mark of what is shown; null: not known, as after somebody pressed on it and was answered with something else. */
  shown_look: string | null;
  /** When the shown message has to be brought up to `version`; null: it is. */
  redraw_at: number | null;
  trouble: string | null;
  created_at: number;
};

/** Something to do at an instant: ask again, pass on, remind. */
export type TimerRow = { id: string; key: string; cafe: string | null; kind: string; ref: string; at: number; active: number };

/** A place that cannot be written to: why, since when, and how often it was tried. */
export type PlaceTroubleRow = { id: string; cafe: string; place: string; why: string; since: number; tries: number };

/** A file that was sent in, kept under the data folder by its id: what it is about (job, case) and which one. */
export type KeptFileRow = { id: string; cafe: string; about: string; ref: string; shows: string; name: string; kind: string; size: number; by_person: string | null; by_name: string; at: number };

export type DeliveryTables = { outbox: OutboxRow; timer: TimerRow; place_trouble: PlaceTroubleRow; kept_file: KeptFileRow };
