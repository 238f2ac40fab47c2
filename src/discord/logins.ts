import { setTimeout as pause } from 'node:timers/promises';
import type { Store } from '../store/store.ts';
import { keepNote, noteOf } from './notes.ts';

export type LoginNeeds = { readonly store: Store; readonly now?: () => number; readonly wait?: (ms: number, signal: AbortSignal) => Promise<void>; readonly told?: (ms: number) => void };

/** The platform takes one login in five seconds and a thousand a day; above that it takes the token away. */
/** Half a second more than asked, for what the line does with two requests sent at their due times. */
const APART = 5500;
const SPAN = 600_000;
const MOST_IN_SPAN = 5;

/**
 * How long the next login has to wait, in ms: the first five of ten minutes follow each other as fast as allowed, which
 * leaves at most 720 a day. `before` are instants of earlier ones, of this process and of those before it.
 */
export const loginPause = (before: readonly number[], now: number): number => {
  const lately = before.filter((at) => at > now - SPAN && at <= now).sort((a, b) => a - b);
  const last = lately.at(-1);
  const full = lately.length >= MOST_IN_SPAN ? (lately.at(-MOST_IN_SPAN) ?? now) + SPAN - now : 0;
  return Math.max(0, full, last === undefined ? 0 : last + APART - now);
};

const parsed = (text: string | undefined): readonly number[] => (text ?? '').split(' ').map(Number).filter((at) => at > 0);

/** Asked before every login, of the library's own making too; what was used is kept in the database. */
export const createLogins = ({ store, now = Date.now, wait = async (ms, signal) => pause(ms, undefined, { signal }), told }: LoginNeeds): ((signal: AbortSignal) => Promise<void>) => async (signal) => {
  const before = parsed(await noteOf(store, 'discord.logins'));
  const ms = loginPause(before, now());
  if (ms > APART) told?.(ms);
  if (ms > 0) await wait(ms, signal);
  await keepNote(store, 'discord.logins', [...before.filter((at) => at > now() - SPAN), now()].slice(-MOST_IN_SPAN * 2).join(' '));
};
