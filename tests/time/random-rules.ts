/** Numbers in [0, 1) that a seed fixes (a 32-bit mixing generator, public domain). */
export const randomFrom = (seed: number): (() => number) => {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
};

export type Random = () => number;

/** Both ends included. */
export const between = (random: Random, low: number, high: number): number =>
  low + Math.floor(random() * (high - low + 1));

export const pick = <T>(random: Random, list: readonly T[]): T => {
  const item = list[between(random, 0, list.length - 1)];
  if (item === undefined) throw new RangeError('nothing to pick from');
  return item;
};

const CODES = ['MO', 'TU', 'WE', 'TH', 'FR', 'SA', 'SU'] as const;

const some = (random: Random, most: number, make: () => string | number): string =>
  [...new Set(Array.from({ length: between(random, 1, most) }, make))].join(',');

const signed = (random: Random, most: number): number =>
  between(random, 1, most) * (random() < 0.35 ? -1 : 1);

const chance = (random: Random, p: number, part: () => string): readonly string[] =>
  random() < p ? [part()] : [];

const byMonth = (random: Random): string => `BYMONTH=${some(random, 4, () => between(random, 1, 12))}`;
const byMonthDay = (random: Random): string => `BYMONTHDAY=${some(random, 4, () => signed(random, 31))}`;
const byDay = (random: Random): string => `BYDAY=${some(random, 4, () => pick(random, CODES))}`;
const byNthDay = (random: Random, most: number): string =>
  `BYDAY=${some(random, 3, () => {
    const nth = signed(random, most);
    return `${nth === -most ? -1 : nth}${pick(random, CODES)}`;
  })}`;
const bySetPos = (random: Random, most: number): string =>
  `BYSETPOS=${some(random, 2, () => signed(random, most))}`;
const weekStart = (random: Random): string => `WKST=${pick(random, CODES)}`;

const daily = (random: Random): readonly string[] => [
  ...chance(random, 0.3, () => byMonth(random)),
  ...chance(random, 0.3, () => byMonthDay(random)),
  ...chance(random, 0.4, () => byDay(random)),
];

/** Never the third of two: to find that it never falls takes both sides long. */
const weeklyPick = (random: Random): readonly string[] => {
  const days = byDay(random);
  return [days, bySetPos(random, days.split(',').length)];
};

const weekly = (random: Random): readonly string[] => random() < 0.2 ? weeklyPick(random) : [
  ...chance(random, 0.2, () => byMonth(random)),
  ...(random() < 0.8 ? [byDay(random)] : []),
  ...chance(random, 0.6, () => weekStart(random)),
];

const monthly = (random: Random): readonly string[] => {
  const month = chance(random, 0.2, () => byMonth(random));
  const kind = between(random, 0, 4);
  if (kind === 0) return [...month, byMonthDay(random)];
  if (kind === 1) return [...month, byNthDay(random, 5)];
  if (kind === 2) return [...month, byDay(random), bySetPos(random, 6)];
  if (kind === 3) return [...month, byDay(random), byMonthDay(random)];
  return month;
};

const yearly = (random: Random): readonly string[] => {
  const kind = between(random, 0, 7);
  if (kind === 0) return [byMonth(random), byMonthDay(random)];
  if (kind === 1) return [byNthDay(random, 53)];
  if (kind === 2) return [byMonth(random), byNthDay(random, 5)];
  if (kind === 3) return [`BYYEARDAY=${some(random, 4, () => signed(random, 366))}`];
  if (kind === 4) return [`BYWEEKNO=${some(random, 3, () => between(random, 1, 51))}`, byDay(random), weekStart(random)];
  if (kind === 5) return [byMonth(random), byDay(random), bySetPos(random, 10)];
  if (kind === 6) return [byMonthDay(random), byDay(random), bySetPos(random, 3)];
  return chance(random, 0.5, () => byMonth(random));
};

const FREQUENCIES = [
  { name: 'DAILY', most: 40, parts: daily },
  { name: 'WEEKLY', most: 6, parts: weekly },
  { name: 'MONTHLY', most: 18, parts: monthly },
  { name: 'YEARLY', most: 3, parts: yearly },
] as const;

/**
 * A rule of a day or longer, without COUNT and UNTIL. Left out is what the first library compared
 * with reads otherwise than the standard: plain and numbered weekdays in one list (it takes those
 * that are both, not those that are either), BYWEEKNO without BYDAY (it takes all seven days, not
 * the start's weekday), week 52 and those after it (it misses 2011-01-01, in week 52 of 2010),
 * week numbers with an INTERVAL (its years are not those of the weeks), and the fifth weekday from
 * the end (it refuses -5).
 */
export const randomRule = (random: Random): string => {
  const { name, most, parts } = pick(random, FREQUENCIES);
  const rest = parts(random);
  const single = random() < 0.5 || rest.some((part) => part.startsWith('BYWEEKNO'));
  const interval = single ? [] : [`INTERVAL=${between(random, 2, most)}`];
  return [`FREQ=${name}`, ...interval, ...rest].join(';');
};

/** What `randomRule` leaves out of week numbers. */
export const randomWeekRule = (random: Random): string => {
  const weeks = some(random, 3, () => pick(random, [1, 2, 20, 51, 52, 53, -1, -2, -52, -53]));
  const interval = between(random, 1, 3);
  return `FREQ=YEARLY;INTERVAL=${interval};BYWEEKNO=${weeks};${byDay(random)};${weekStart(random)}`;
};

/** A weekly rule that picks some of its weekdays by their place. */
export const randomWeeklyPick = (random: Random): string =>
  ['FREQ=WEEKLY', `INTERVAL=${between(random, 1, 4)}`, ...weeklyPick(random), weekStart(random)].join(';');
