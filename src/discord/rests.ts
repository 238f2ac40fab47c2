import { REST, RESTEvents, type RateLimitData } from 'discord.js';
import type { Logger } from 'pino';

export type RestNeeds = { readonly api?: string | undefined; readonly token: string; readonly log: Logger; readonly onTokenRefused: () => void };

/** One road for what the bot says by itself, another for answers to people, which the platform does not count. */
export type Rests = { readonly rest: REST; readonly answers: REST; readonly close: () => void };

/** Longest wait in a queue of the platform's, in ms: beyond it the outbox waits, and another place has its turn. */
const LONGEST_QUEUE = 5000;
/** Nobody who pressed a button waits longer than this for the platform's pace. */
const LONGEST_BEFORE_ANSWER = 1000;
const WARN_EVERY = 500;

const longer = (ms: number) => (limit: RateLimitData): boolean => Math.max(limit.retryAfter, limit.timeToReset, limit.sublimitTimeout) > ms;

export const createRests = ({ api, token, log, onTokenRefused }: RestNeeds): Rests => {
  const common = { version: '10', ...(api === undefined ? {} : { api }) };
  const rest = new REST({ ...common, timeout: 10_000, retries: 2, rejectOnRateLimit: longer(LONGEST_QUEUE), invalidRequestWarningInterval: WARN_EVERY }).setToken(token);
  const answers = new REST({ ...common, timeout: 10_000, retries: 2, rejectOnRateLimit: longer(LONGEST_BEFORE_ANSWER), globalRequestsPerSecond: Number.POSITIVE_INFINITY }).setToken(token);
  rest.on(RESTEvents.Response, (_request, { status }) => void (status === 401 && onTokenRefused()));
  rest.on(RESTEvents.InvalidRequestWarning, (about) => log.warn(about, 'many requests are refused'));
  for (const each of [rest, answers]) each.on(RESTEvents.RateLimited, ({ route, retryAfter, global }) => log.info({ route, retryAfter, global }, 'waiting for the platform'));
  return {
    rest,
    answers,
    close: () => {
      for (const each of [rest, answers]) {
        each.clearHashSweeper();
        each.clearHandlerSweeper();
      }
    },
  };
};
