import { chancesWith, everything, kitFor, splitBySize, type KitVisit, type Outcome, type PartCount } from '../../src/bookings/kit.ts';
import { draws, type Draws } from './draws.ts';

/**
 * An invented trade: what is wrong how often, and which parts it takes. Values in money. It shows what the planning
 * is worth if the chances it is given are right, or wrong in a known way; it says nothing of real cafés.
 */
export type Cause = { readonly share: number; readonly parts: readonly string[] | 'seal' | 'none fits' };

const symptoms: readonly (readonly Cause[])[] = [
  [
    { share: 0.55, parts: 'seal' },
    { share: 0.15, parts: ['screen'] },
    { share: 0.1, parts: ['handle'] },
    { share: 0.1, parts: ['lugs'] },
    { share: 0.1, parts: 'none fits' },
  ],
  [
    { share: 0.5, parts: ['valve kit'] },
    { share: 0.25, parts: ['valve'] },
    { share: 0.1, parts: ['valve coil'] },
    { share: 0.15, parts: 'none fits' },
  ],
  [
    { share: 0.3, parts: ['flow meter'] },
    { share: 0.25, parts: ['jet'] },
    { share: 0.2, parts: ['pump'] },
    { share: 0.1, parts: ['motor', 'pump'] },
    { share: 0.05, parts: [] },
    { share: 0.1, parts: 'none fits' },
  ],
  [
    { share: 0.3, parts: ['element'] },
    { share: 0.25, parts: ['pressure switch'] },
    { share: 0.2, parts: ['relay'] },
    { share: 0.15, parts: ['limit switch'] },
    { share: 0.1, parts: 'none fits' },
  ],
  [
    { share: 0.45, parts: ['wand seals'] },
    { share: 0.25, parts: ['steam valve'] },
    { share: 0.15, parts: ['vacuum breaker'] },
    { share: 0.15, parts: 'none fits' },
  ],
];

const sizes = ['seal 8', 'seal 8.5', 'seal 7', 'seal 9'] as const;
const usualSizes = [0.5, 0.3, 0.12, 0.08] as const;

export const values: ReadonlyMap<string, number> = new Map([
  ...sizes.map((size) => [size, 4] as const),
  ['screen', 9],
  ['handle', 55],
  ['lugs', 160],
  ['valve kit', 18],
  ['valve', 65],
  ['valve coil', 25],
  ['flow meter', 45],
  ['jet', 6],
  ['pump', 140],
  ['motor', 210],
  ['element', 120],
  ['pressure switch', 48],
  ['relay', 22],
  ['limit switch', 15],
  ['wand seals', 7],
  ['steam valve', 75],
  ['vacuum breaker', 19],
]);

const normed = (weights: readonly number[]): readonly number[] => {
  const sum = weights.reduce((total, weight) => total + weight, 0);
  return weights.map((weight) => weight / sum);
};

/** Answers at the bar move the odds of each cause: chances as the questions leave them, true by construction. */
const afterQuestions = (draw: Draws, symptom: readonly Cause[]): readonly number[] =>
  normed(symptom.map((cause) => cause.share * Math.exp(1.5 * draw.normal())));

const sizesKnown = (draw: Draws, { usualSizes: usual }: Pick<Trade, 'usualSizes'>): readonly number[] => normed(usual.map((share) => share * Math.exp(2 * draw.normal())));

/** What may be wrong, by complaint, what the parts are worth and which seal sizes there are. */
export type Trade = { readonly symptoms: readonly (readonly Cause[])[]; readonly values: ReadonlyMap<string, number>; readonly sizes: readonly string[]; readonly usualSizes: readonly number[] };

const outcomesOf = ({ sizes }: Trade, symptom: readonly Cause[], chances: readonly number[], sizeChances: readonly number[]): readonly Outcome[] =>
  symptom.flatMap((cause, i): readonly Outcome[] => {
    const chance = chances[i] ?? 0;
    if (cause.parts === 'none fits') return [{ chance, needs: null }];
    if (cause.parts === 'seal') return splitBySize(chance, sizes.map((part, size) => ({ part, chance: sizeChances[size] ?? 0 })));
    return [{ chance, needs: cause.parts.map((part) => ({ part, count: 1 })) }];
  });

export const invented: Trade = { symptoms, values, sizes, usualSizes };

const averageVisit = (trade: Trade): Omit<KitVisit, 'id'> => ({
  outcomes: trade.symptoms.flatMap((symptom) => outcomesOf(trade, symptom, symptom.map((cause) => cause.share / trade.symptoms.length), trade.usualSizes)),
});

/** One visit: what is true of it, and what the planner is told, sharper than true when `overconfidence` is above 1. */
const visit = (draw: Draws, trade: Trade, id: string, overconfidence: number): { readonly truth: KitVisit; readonly told: KitVisit } => {
  const symptom = draw.one(trade.symptoms);
  const chances = afterQuestions(draw, symptom);
  const sizeChances = sizesKnown(draw, trade);
  const sharper = normed(chances.map((chance) => chance ** overconfidence));
  return { truth: { id, outcomes: outcomesOf(trade, symptom, chances, sizeChances) }, told: { id, outcomes: outcomesOf(trade, symptom, sharper, sizeChances) } };
};

const drawn = (draw: Draws, { outcomes }: KitVisit): readonly PartCount[] | null => {
  let left = draw.unit();
  for (const outcome of outcomes) {
    left -= outcome.chance;
    if (left < 0) return outcome.needs;
  }
  return outcomes.at(-1)?.needs ?? null;
};

/** Which of these wants are met from one bag, in order; pieces are used as far as they go. */
const finished = (wants: readonly (readonly PartCount[] | null)[], bag: ReadonlyMap<string, number>): readonly boolean[] => {
  const left = new Map(bag);
  return wants.map((want) => {
    if (want === null) return false;
    const complete = want.every(({ part, count }) => (left.get(part) ?? 0) >= count);
    for (const { part, count } of want) left.set(part, Math.max(0, (left.get(part) ?? 0) - count));
    return complete;
  });
};

const worth = (values: ReadonlyMap<string, number>, bag: ReadonlyMap<string, number>): number => [...bag].reduce((sum, [part, count]) => sum + count * (values.get(part) ?? 0), 0);
const bagOf = (counts: readonly PartCount[]): ReadonlyMap<string, number> => new Map(counts.map(({ part, count }) => [part, count]));

export type Plan = 'kit' | 'always the same' | 'everything';
export type Result = { readonly plan: Plan; readonly finished: number; readonly value: number };
export type Simulated = { readonly tours: number; readonly visits: number; readonly reachable: number; readonly promised: number; readonly kept: number; readonly keptOfReachable: number; readonly apart: number; readonly results: readonly Result[] };

export type Simulation = { readonly seed: number; readonly tours: number; readonly level: number; readonly overconfidence: number; readonly trade?: Trade };

/**
 * Tours of one to four visits. `finished` is the share of all visits finished at once; `reachable` the share that any
 * bag could finish; `value` the mean value carried on a tour; `promised` the share the kit's own reckoning gives, `kept`
 * the one it gives for the same bags with the true chances, without any draw, and `keptOfReachable` that of what any bag
 * could finish; `apart` the mean distance of a visit's told chances from the true ones (total variation: half the sum of
 * differences), which no promise can miss by more as long as visits do not take each other's parts.
 */
export const simulate = ({ seed, tours, level, overconfidence, trade = invented }: Simulation): Simulated => {
  const draw = draws(seed);
  const same = new Map([1, 2, 3, 4].map((count) => [count, sameBag(trade, count, level)]));
  const all = new Map([1, 2, 3, 4].map((count) => [count, everything(unknownVisits(trade, count))]));
  const sums = { visits: 0, reachable: 0, promised: 0, kept: 0, attainable: 0, apart: 0 };
  const plans = { kit: { finished: 0, value: 0 }, 'always the same': { finished: 0, value: 0 }, everything: { finished: 0, value: 0 } };
  for (let tour = 0; tour < tours; tour += 1) {
    const planned = Array.from({ length: 1 + draw.below(4) }, (_, i) => visit(draw, trade, `${i}`, overconfidence));
    const wants = planned.map(({ truth }) => drawn(draw, truth));
    const kit = kitFor({ visits: planned.map(({ told }) => told), values: trade.values, van: new Map(), level });
    sums.visits += planned.length;
    sums.reachable += wants.filter((want) => want !== null).length;
    sums.promised += kit.visits.reduce((sum, one) => sum + one.chance, 0);
    for (const { chance, reachable } of chancesWith(planned.map(({ truth }) => truth), bagOf(kit.bring))) {
      sums.kept += chance;
      sums.attainable += reachable;
    }
    sums.apart += planned.reduce((sum, { truth, told }) => sum + distance(truth, told), 0);
    const bags = {
      kit: bagOf(kit.bring),
      'always the same': same.get(planned.length) ?? new Map<string, number>(),
      everything: all.get(planned.length) ?? new Map<string, number>(),
    };
    for (const plan of ['kit', 'always the same', 'everything'] as const) {
      plans[plan].finished += finished(wants, bags[plan]).filter(Boolean).length;
      plans[plan].value += worth(trade.values, bags[plan]);
    }
  }
  return {
    tours,
    visits: sums.visits,
    reachable: sums.reachable / sums.visits,
    promised: sums.promised / sums.visits,
    kept: sums.kept / sums.visits,
    keptOfReachable: sums.kept / sums.attainable,
    apart: sums.apart / sums.visits,
    results: (['kit', 'always the same', 'everything'] as const).map((plan) => ({ plan, finished: plans[plan].finished / sums.visits, value: plans[plan].value / tours })),
  };
};

/** The same outcomes in the same order stand on both sides. */
const distance = (truth: KitVisit, told: KitVisit): number => truth.outcomes.reduce((sum, { chance }, i) => sum + Math.abs(chance - (told.outcomes[i]?.chance ?? 0)), 0) / 2;

const unknownVisits = (trade: Trade, count: number): readonly KitVisit[] => Array.from({ length: count }, (_, i) => ({ ...averageVisit(trade), id: `${i}` }));

/** The cheapest bag that reaches the level for visits of which nothing is known: it is packed without asking anybody. */
const sameBag = (trade: Trade, visits: number, level: number): ReadonlyMap<string, number> =>
  bagOf(kitFor({ visits: unknownVisits(trade, visits), values: trade.values, van: new Map(), level }).bring);
