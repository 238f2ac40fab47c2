import { days, hours, later, minutes, type Instant } from '../time/instant.ts';
import { afterTimeWithin, type Span } from './span.ts';

/** Trade a café is losing in a stretch of its opening hours, money an hour. */
export type LostTrade = Span & { readonly perHour: number };

export type Situation = {
  /** `people`: someone hurt, gas, electricity, pressure; `machine`: it harms itself or the house if left. */
  readonly danger: 'none' | 'machine' | 'people';
  readonly groups: number;
  readonly groupsDown: number;
  /** Opening hours of the coming days. */
  readonly open: readonly Span[];
  /** Null where the café has set no prices. */
  readonly lost: readonly LostTrade[] | null;
  /** What café and technician have agreed beforehand; null: nothing. */
  readonly agreed: { readonly answerWithin: number | null; readonly visitWithin: number | null } | null;
  /** Hours in which a technician may be asked; a danger asks at any hour. */
  readonly askable: readonly Span[];
};

/** How long one technician is given, and which hours count towards it; null: every hour. */
export type Answering = { readonly within: number; readonly hours: readonly Span[] | null };

export type Level = 'danger' | 'stopped' | 'losing' | 'can wait';

export type Urgency = {
  readonly level: Level;
  /** Ahead of every danger that threatens things alone. */
  readonly people: boolean;
  readonly since: Instant;
  /** By when somebody should have been there; later bookings are sorted behind earlier ones. */
  readonly visitBy: Instant;
  /** Trade lost until then if nobody comes; null without prices. */
  readonly lostByThen: number | null;
  /** The promise to the café: when the first technician has answered, or the next one is asked. */
  readonly answerBy: Instant;
  readonly answering: Answering;
  /** The bot cannot telephone: people must, now. */
  readonly telephoneNow: boolean;
};

export type UrgencyRules = {
  /** How long a technician is given before the next is asked, ms. */
  readonly answerWithin: Readonly<Record<Level, number>>;
  /** Without prices: opening hours that may pass before a visit, ms. */
  readonly openTimeToVisit: Readonly<Record<Exclude<Level, 'danger'>, number>>;
  readonly dangerVisitWithin: number;
  /** The longest anything waits, ms. */
  readonly longest: number;
  /** A visit is due before the lost trade has reached this much money. */
  readonly lossWorthAVisit: number;
};

/** Assumed (common practice, no source): each café and its technician may agree on other figures. */
export const assumedUrgency: UrgencyRules = {
  answerWithin: { danger: minutes(10), stopped: minutes(20), losing: minutes(40), 'can wait': minutes(60) },
  openTimeToVisit: { stopped: hours(2), losing: hours(10), 'can wait': days(7) },
  dangerVisitWithin: hours(4),
  longest: days(7),
  lossWorthAVisit: 120,
};

export const urgencyOf = (situation: Situation, since: Instant, rules: UrgencyRules = assumedUrgency): Urgency => {
  const level = levelOf(situation);
  const answering = answeringOf(situation, level, rules);
  const visitBy = earliest(visitDeadlines(situation, level, since, rules));
  return {
    level,
    people: situation.danger === 'people',
    since,
    visitBy,
    lostByThen: situation.lost === null ? null : lostBetween(situation.lost, since, visitBy),
    answerBy: answerBy(answering, since),
    answering,
    telephoneNow: level === 'danger',
  };
};

const levelOf = (situation: Situation): Level => {
  if (situation.danger !== 'none') return 'danger';
  if (situation.groups > 0 && situation.groupsDown >= situation.groups) return 'stopped';
  const loses = situation.lost?.some((part) => part.perHour > 0) ?? situation.groupsDown > 0;
  return loses ? 'losing' : 'can wait';
};

const answeringOf = (situation: Situation, level: Level, rules: UrgencyRules): Answering => ({
  within: Math.min(rules.answerWithin[level], situation.agreed?.answerWithin ?? Number.POSITIVE_INFINITY),
  hours: level === 'danger' ? null : situation.askable,
});

/** When the next technician is asked if this one, asked at `from`, says nothing. */
export const answerBy = (answering: Answering, from: Instant): Instant =>
  afterTimeWithin(answering.hours ?? [], from, answering.within);

/** Each reason for a visit by a certain time; the earliest counts, and at least one is there. */
const visitDeadlines = (
  situation: Situation,
  level: Level,
  since: Instant,
  rules: UrgencyRules,
): readonly [Instant, ...Instant[]] => {
  const agreed = situation.agreed?.visitWithin ?? null;
  const promised = agreed === null ? [] : [later(since, agreed)];
  if (level === 'danger') return [later(since, rules.dangerVisitWithin), ...promised];
  const lost = situation.lost === null ? null : whenLost(situation.lost, since, rules.lossWorthAVisit);
  const byHours = level === 'stopped' || situation.lost === null;
  return [
    later(since, rules.longest),
    ...(byHours ? [afterTimeWithin(situation.open, since, rules.openTimeToVisit[level])] : []),
    ...(lost === null ? [] : [lost]),
    ...promised,
  ];
};

const earliest = (times: readonly [Instant, ...Instant[]]): Instant =>
  times.reduce((first, next) => (next < first ? next : first));

const clipped = (part: LostTrade, from: Instant): LostTrade => (part.start < from ? { ...part, start: from } : part);

const lostBetween = (lost: readonly LostTrade[], from: Instant, to: Instant): number =>
  lost.reduce((sum, part) => {
    const ms = Math.min(part.end, to) - Math.max(part.start, from);
    return sum + (Math.max(0, ms) / hours(1)) * part.perHour;
  }, 0);

/** The instant at which the loss since `from` reaches `amount`; null if the stretches given do not reach it. */
const whenLost = (lost: readonly LostTrade[], from: Instant, amount: number): Instant | null => {
  let left = amount;
  for (const part of lost.toSorted((a, b) => a.start - b.start).map((one) => clipped(one, from))) {
    if (part.end <= part.start || part.perHour <= 0) continue;
    const here = ((part.end - part.start) / hours(1)) * part.perHour;
    if (here >= left) return later(part.start, (left / part.perHour) * hours(1));
    left -= here;
  }
  return null;
};

/**
 * Order of work: danger first, people before machines; then whoever must be visited earliest; then the larger loss;
 * then the longer wait. A booking's `visitBy` is fixed when it is made, so that nothing is overtaken for ever.
 */
export const byUrgency = (a: Urgency, b: Urgency): number =>
  Number(b.level === 'danger') - Number(a.level === 'danger') ||
  Number(b.people) - Number(a.people) ||
  a.visitBy - b.visitBy ||
  (b.lostByThen ?? 0) - (a.lostByThen ?? 0) ||
  a.since - b.since;
