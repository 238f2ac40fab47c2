import type { Span } from './hours.ts';
import type { DoorToken } from './hours-tokens.ts';

export type HoursProblem =
  | 'empty'
  | 'word-unknown'
  | 'time-unknown'
  | 'closing-missing'
  /** "8-5": is it five in the afternoon or in the morning? */
  | 'closing-unclear'
  | 'longer-than-a-day'
  | 'days-without-hours'
  | 'order-unclear'
  /** The same day twice with hours that touch, or an evening that runs into the next opening. */
  | 'hours-overlap'
  | 'never-open';

/** What was read, and the first token that was not. */
export type Read<T> = { readonly value: T; readonly next: number };

/** Thrown while reading a door's text, and caught by who began to read. */
export class Unclear {
  readonly problem: HoursProblem;
  readonly at: string;
  constructor(problem: HoursProblem, at: string) {
    this.problem = problem;
    this.at = at;
  }
}

export const refuse = (problem: HoursProblem, at: string): never => {
  throw new Unclear(problem, at);
};

type Time = Extract<DoorToken, { kind: 'time' }>;

const NOON = 720;
export const DAY = 1440;
const LATEST_END = 2160;

export const isTime = (token: DoorToken | undefined): token is Time => token?.kind === 'time';

/** A time with "am" or "pm" in minutes after midnight. */
const withHalf = ({ minutes, half }: Time): number =>
  half === null ? minutes : (minutes % NOON) + (half === 'pm' ? NOON : 0);

const startOf = (from: Time, to: Time): number => {
  const plainly = withHalf(from);
  // "1-5pm" begins in the afternoon too, "8-5pm" does not.
  const shared = to.half === 'pm' && from.half === null && plainly < NOON ? plainly + NOON : plainly;
  return shared < withHalf(to) ? shared : plainly;
};

const endOf = (start: number, from: Time, to: Time): number => {
  const said = withHalf(to);
  const halves = from.half !== null && to.half === null && said <= NOON;
  const candidates = halves ? [said, said + NOON, said + DAY] : [said, said + DAY];
  return candidates.find((end) => end > start) ?? said;
};

// Nobody writes "02:00" for two in the afternoon, and nobody is open for 18 hours by a slip.
const LIKELY_LONGEST = 1080;

/** "8-5": read plainly it would close in the small hours of the next day. */
const mayBeAfternoon = (from: Time, to: Time, { from: start, to: end }: Span): boolean => {
  const small = from.half === null && to.half === null && start < 780 && to.minutes < 780;
  const meant = to.text.startsWith('0') && end - start <= LIKELY_LONGEST;
  return small && to.minutes > 0 && end > DAY && !meant;
};

const spanOf = (from: Time, to: Time): Span => {
  const text = `${from.text}-${to.text}`;
  const start = startOf(from, to);
  const span = { from: start, to: endOf(start, from, to) };
  if (start >= DAY) refuse('time-unknown', from.text);
  if (mayBeAfternoon(from, to, span)) refuse('closing-unclear', text);
  if (span.to - start > DAY || span.to > LATEST_END) refuse('longer-than-a-day', text);
  return span;
};

const isSpanAt = (tokens: readonly DoorToken[], i: number): boolean =>
  isTime(tokens[i]) && tokens[i + 1]?.kind === 'to';

/** "8-12, 14-18" from token `i` on, which is a time. */
export const readSpans = (tokens: readonly DoorToken[], i: number): Read<readonly Span[]> => {
  const spans: Span[] = [];
  let at = i;
  for (;;) {
    const from = tokens[at];
    const to = tokens[at + 2];
    if (!isTime(from)) return { value: spans, next: at };
    if (tokens[at + 1]?.kind !== 'to' || !isTime(to)) return refuse('closing-missing', from.text);
    spans.push(spanOf(from, to));
    at += 3;
    if (tokens[at]?.kind === 'and' && isSpanAt(tokens, at + 1)) at += 1;
  }
};

