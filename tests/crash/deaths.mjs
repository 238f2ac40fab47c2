// How a life ends, and what a death fell on.
import { nonceOf } from '../../dist/delivery/sender.js';

/**
 * Where a process may be told to die: while it writes facts, right after a commit that stored messages, before a send, after it
 * and before its mark, the same for a change of a shown message, when a person sees an answer, or at any query at all.
 * Each kind is drawn first and then its moment, so that none hides behind what a bot does most; `most`: the moment is one of so many.
 */
const ENDS = [
  { what: 'writing', weight: 4, most: 30 },
  { what: 'posted', weight: 2, most: 4 },
  { what: 'before-send', weight: 2, most: 4 },
  { what: 'after-send', weight: 4, most: 4 },
  { what: 'before-edit', weight: 1, most: 6 },
  { what: 'after-edit', weight: 1, most: 6 },
  { what: 'seen', weight: 1, most: 4 },
  { what: 'statement', weight: 1, most: 150 },
];
const LOTS = ENDS.flatMap((end) => Array.from({ length: end.weight }, () => end));

export const deathFor = (luck) => {
  const { what, most } = luck.oneOf(LOTS);
  return { what, n: 1 + luck.below(most) };
};

/** Seconds, minutes, half an hour: within the window in which the platform knows a repeat, and beyond it. */
export const downtimeFor = (luck) => luck.oneOf([0, 5_000, 60_000, 300_000, 1_800_000]);

/** The kinds that have to come often enough; the others are counted too. */
export const KINDS = ['before commit', 'commit to send', 'send to mark'];

/** Where the death fell, read from what it left behind; the first that holds. `uncommitted`: facts written in the transaction cut short. */
export const whereDied = (db, platform, { uncommitted, now }) => {
  const nonces = new Set(platform.prepare('select nonce from message').all().map(({ nonce }) => nonce));
  const rows = db.prepare("select id, first_try_at from outbox where state = 'claimed' or (state = 'ready' and not_before <= ?)").all(now);
  if (rows.some((row) => row.first_try_at !== null && nonces.has(nonceOf(row.id, row.first_try_at)))) return 'send to mark';
  if (uncommitted > 0) return 'before commit';
  if (rows.length > 0) return 'commit to send';
  const redraws = db.prepare("select count(*) as n from outbox where state = 'sent' and redraw_at is not null and shown_version < version").get().n;
  return redraws > 0 ? 'commit to show' : 'at rest';
};
