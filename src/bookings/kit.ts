import type { PartId } from '../parts/ledger.ts';
import { leastValue } from './kit-search.ts';

export type PartCount = { readonly part: PartId; readonly count: number };

/** One thing it may turn out to be. `needs` null: no part in a bag finishes it in one visit. */
export type Outcome = { readonly chance: number; readonly needs: readonly PartCount[] | null };

/** Chances add up to at most 1; what is missing is something nobody thought of. */
export type KitVisit = { readonly id: string; readonly outcomes: readonly Outcome[] };

export type KitRequest = {
  /** In the order in which they are made. */
  readonly visits: readonly KitVisit[];
  /** Money for one piece of each part that may be wanted. */
  readonly values: ReadonlyMap<PartId, number>;
  /** What is in the van already. */
  readonly van: ReadonlyMap<PartId, number>;
  /** 0 to 1: the share of what any kit can reach that each visit must reach. */
  readonly level: number;
};

export type VisitChance = {
  readonly id: string;
  /** Chance of finishing at once with this kit, and with every part in the world. */
  readonly chance: number;
  readonly reachable: number;
};

export type Kit = {
  /** To fetch before setting out. */
  readonly bring: readonly PartCount[];
  /** In the van, and wanted for one of these visits. */
  readonly fromVan: readonly PartCount[];
  /** Value of what is fetched. */
  readonly value: number;
  readonly visits: readonly VisitChance[];
  /** False only for a request so large that the search was cut short: then a cheaper kit may exist. */
  readonly exact: boolean;
};

/** A seal is due, its size is not sure: one outcome for each size. */
export const splitBySize = (chance: number, sizes: readonly { readonly part: PartId; readonly chance: number }[]): readonly Outcome[] => {
  const known = sizes.reduce((sum, size) => sum + size.chance, 0);
  if (known > 1 + 1e-9) throw new RangeError(`sizes add up to ${known}`);
  const split = sizes.map((size): Outcome => ({ chance: chance * size.chance, needs: [{ part: size.part, count: 1 }] }));
  return known < 1 - 1e-9 ? [...split, { chance: chance * (1 - known), needs: null }] : split;
};

/** The parts of least value with which every visit reaches its level; exact. */
export const kitFor = (request: KitRequest): Kit => {
  const ways = request.visits.map((_, i) => waysToFinish(request.visits, i));
  const parts = partsOf(request.visits);
  const { bought, exact } = leastValue({
    parts: parts.map((part) => ({ value: valueOf(request, part), inVan: request.van.get(part) ?? 0 })),
    visits: ways.map((visit) => ({
      target: request.level * total(visit),
      ways: visit.map((way) => ({ chance: way.chance, needs: parts.map((part) => way.needs.get(part) ?? 0) })),
    })),
  });
  const carried = new Map(parts.map((part, i) => [part, (bought[i] ?? 0) + (request.van.get(part) ?? 0)]));
  return {
    bring: counted(parts.map((part, i) => ({ part, count: bought[i] ?? 0 }))),
    fromVan: counted(parts.map((part) => ({ part, count: Math.min(request.van.get(part) ?? 0, mostWanted(ways, part)) }))),
    value: parts.reduce((sum, part, i) => sum + (bought[i] ?? 0) * valueOf(request, part), 0),
    visits: request.visits.map((visit, i) => ({ id: visit.id, ...chanceOf(ways[i] ?? [], carried) })),
    exact,
  };
};

/** Chance of finishing each visit at once with what is carried. */
export const chancesWith = (visits: readonly KitVisit[], carried: ReadonlyMap<PartId, number>): readonly VisitChance[] =>
  visits.map((visit, i) => ({ id: visit.id, ...chanceOf(waysToFinish(visits, i), carried) }));

/** Every part that any outcome may want, as often as all visits together could want it. */
export const everything = (visits: readonly KitVisit[]): ReadonlyMap<PartId, number> => {
  const ways = visits.map((_, i) => waysToFinish(visits, i));
  return new Map(partsOf(visits).map((part) => [part, mostWanted(ways, part)]));
};

type Way = { readonly chance: number; readonly needs: ReadonlyMap<PartId, number> };

const chanceOf = (ways: readonly Way[], carried: ReadonlyMap<PartId, number>): Omit<VisitChance, 'id'> => ({
  chance: total(ways.filter((way) => [...way.needs].every(([part, count]) => (carried.get(part) ?? 0) >= count))),
  reachable: total(ways),
});

const total = (ways: readonly Way[]): number => ways.reduce((sum, way) => sum + way.chance, 0);
const counted = (parts: readonly PartCount[]): readonly PartCount[] => parts.filter(({ count }) => count > 0);
const mostWanted = (ways: readonly (readonly Way[])[], part: PartId): number => Math.max(0, ...ways.flat().map((way) => way.needs.get(part) ?? 0));

const partsOf = (visits: readonly KitVisit[]): readonly PartId[] =>
  [...new Set(visits.flatMap((visit) => visit.outcomes.flatMap((outcome) => (outcome.needs ?? []).map((need) => need.part))))].toSorted();

const valueOf = (request: KitRequest, part: PartId): number => {
  const value = request.values.get(part);
  if (value === undefined || !(value >= 0)) throw new RangeError(`no value for ${part}`);
  return value;
};

/**
 * The ways in which visit `index` can be finished at once, with what must be carried for each. Earlier visits use
 * the pieces they want whether or not they can be finished with the rest: so more parts never make a visit harder.
 */
const waysToFinish = (visits: readonly KitVisit[], index: number): readonly Way[] => {
  const earlier = visits.slice(0, index);
  const ways = (visits[index]?.outcomes ?? []).flatMap((outcome) => {
    if (outcome.needs === null || outcome.chance <= 0) return [];
    const own = summed(outcome.needs);
    const start: readonly Way[] = [{ chance: outcome.chance, needs: own }];
    return earlier.reduce((known, visit) => merged(known.flatMap((way) => afterVisit(way, visit, own))), start);
  });
  return merged(ways);
};

/** What this way wants if an earlier visit has used pieces of the same parts before. */
const afterVisit = (way: Way, visit: KitVisit, own: ReadonlyMap<PartId, number>): readonly Way[] => {
  const used = visit.outcomes.map(({ chance, needs }) => ({
    chance: way.chance * chance,
    needs: new Map([...way.needs].map(([part, count]) => [part, count + (own.has(part) ? countIn(needs ?? [], part) : 0)])),
  }));
  const rest = 1 - visit.outcomes.reduce((sum, outcome) => sum + outcome.chance, 0);
  return rest > 1e-12 ? [...used, { chance: way.chance * rest, needs: way.needs }] : used;
};

const countIn = (needs: readonly PartCount[], part: PartId): number =>
  needs.reduce((sum, need) => sum + (need.part === part ? need.count : 0), 0);

const summed = (needs: readonly PartCount[]): ReadonlyMap<PartId, number> => new Map(needs.map(({ part }) => [part, countIn(needs, part)]));

const merged = (ways: readonly Way[]): readonly Way[] => {
  const known = new Map<string, Way>();
  for (const way of ways) {
    const key = JSON.stringify([...way.needs].toSorted(([a], [b]) => (a < b ? -1 : 1)));
    known.set(key, { needs: way.needs, chance: (known.get(key)?.chance ?? 0) + way.chance });
  }
  return [...known.values()];
};
