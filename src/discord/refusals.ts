import { DiscordAPIError, HTTPError, RateLimitError } from 'discord.js';
import { ChatRefused, type Refusal } from '../chat/port.ts';

type Why = Refusal['why'];

/** The platform's own codes for what a bot meets in everyday life, from its list of JSON error codes. */
const CODES: Readonly<Record<string, Why>> = {
  10003: 'channel-gone', 10004: 'channel-gone', 10008: 'message-gone', 10013: 'direct-closed',
  40005: 'too-large', 50001: 'no-permission', 50007: 'direct-closed', 50013: 'no-permission', 50083: 'archived', 50278: 'direct-closed',
  160002: 'no-permission', 160005: 'archived',
};

/** Codes that pass by themselves, with the pause worth making in ms: slow mode, write limits, edits of old messages, overload. */
const PASSING: Readonly<Record<string, number>> = { 20016: 30_000, 20028: 10_000, 20029: 10_000, 30046: 60_000, 40003: 60_000, 130000: 30_000 };

/** A reply needs the right to read back; without the reply the same message may still be sent. */
export const REPLY_NEEDS_HISTORY = 160002;
const OLD_EDITS = 30046;

export const codeOf = (error: unknown): number | undefined => (error instanceof DiscordAPIError && typeof error.code === 'number' ? error.code : undefined);
export const isOldEditLimit = (error: unknown): boolean => codeOf(error) === OLD_EDITS;
export const isTokenRefused = (error: unknown): boolean => error instanceof DiscordAPIError && error.status === 401;

const byStatus = (status: number): Why | undefined => (status === 413 ? 'too-large' : status === 403 ? 'no-permission' : undefined);

/** What an error of a request means in our words; undefined for a fault of our own, which no waiting mends. */
export const refusalOf = (error: unknown): Refusal | undefined => {
  if (error instanceof RateLimitError) return { why: 'unavailable', wait: Math.max(error.retryAfter, error.timeToReset) };
  if (error instanceof HTTPError) return { why: 'unavailable' };
  if (!(error instanceof DiscordAPIError)) return error instanceof RangeError || error instanceof TypeError && !/fetch|socket|network/i.test(error.message) ? undefined : { why: 'unavailable' };
  const passing = PASSING[String(error.code)];
  if (passing !== undefined) return { why: 'unavailable', wait: passing };
  if (error.status === 401) return { why: 'unavailable' };
  const why = CODES[String(error.code)] ?? byStatus(error.status);
  return why === undefined || why === 'unavailable' ? undefined : { why };
};

/** Runs a request; what the platform will not do comes out as ChatRefused, a bug as itself. */
export const asking = async <T>(work: () => Promise<T>): Promise<T> => {
  try {
    return await work();
  } catch (error) {
    if (error instanceof ChatRefused) throw error;
    const refusal = refusalOf(error);
    if (!refusal) throw error;
    throw new ChatRefused(refusal, { cause: error });
  }
};
