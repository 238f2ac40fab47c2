import { at } from './compiled.ts';
import type { Booked, Meanwhile, Outcome, OutcomeKind, Programme } from './programme.ts';
import { MEANWHILE } from './programme.ts';
import type { Tables, Task } from './sweep.ts';
import { closedAt } from './sweep.ts';

/** Jobs done one after the other now (one job, `slot` null), or together in one cool-down. */
export type Step = {
  readonly jobs: readonly string[];
  /** Index of the cold slot, or null when done at once. */
  readonly slot: number | null;
  /** What happens until then. */
  readonly meanwhile: Meanwhile;
};

/** One thing to do next, followed by the best of everything after it. */
export type Option = {
  /** Expected cost in the café's money. */
  readonly cost: number;
  readonly steps: readonly Step[];
  /** What ends the plan when every step failed. */
  readonly end: { readonly kind: OutcomeKind; readonly meanwhile: Meanwhile };
  /** True when the visit is booked at once and the steps are tried before it comes. */
  readonly bookedFirst: boolean;
};

/** A solved task, to read the plan off. */
export type Solved = {
  readonly programme: Programme;
  readonly tables: Tables;
  readonly task: Task;
  readonly level: Meanwhile;
  /** The ways to end that were reckoned with. */
  readonly ends: readonly (Outcome | Booked)[];
  readonly booked: Booked | null;
};

type Point = { readonly layer: number; readonly set: number };

type Move = {
  readonly cost: number;
  /** Jobs done on the way, as a set of narrowed jobs. */
  readonly jobs: number;
  readonly next: Point | null;
};

const endMove = ({ tables }: Solved, { layer, set }: Point): Move => ({
  cost: at(at(tables.ends, layer), set),
  jobs: 0,
  next: null,
});

const jobMoves = ({ programme, tables, task: { by } }: Solved, { layer, set }: Point): readonly Move[] =>
  [...by.jobs.keys()]
    .map((j) => 1 << j)
    .filter((bit) => ((set | closedAt(programme, by, layer)) & bit) === 0)
    .map((bit) => ({
      cost: at(by.cost, bit) * at(tables.left, set) + at(at(tables.best, layer), set | bit),
      jobs: bit,
      next: { layer, set: set | bit },
    }));

const bundleMoves = ({ programme, tables, task: { by, to } }: Solved, { layer, set }: Point): readonly Move[] => {
  if (layer >= to - 1) return [];
  const wait = at(at(tables.waits, layer), set);
  const after = at(tables.best, layer + 1);
  const free = by.cold & ~set;
  const all: Move[] = layer < programme.hotFrom ? [{ cost: wait + at(after, set), jobs: 0, next: { layer: layer + 1, set } }] : [];
  for (let sub = free; sub > 0; sub = (sub - 1) & free) {
    if (at(by.minutes, sub) > at(programme.slots, layer)) continue;
    const cost = wait + (at(by.cost, sub) * at(tables.left, set) + at(after, set | sub));
    all.push({ cost, jobs: sub, next: { layer: layer + 1, set: set | sub } });
  }
  return all;
};

/** Everything that can be done at one point; what leads past a booked visit costs Infinity and is left out. */
const moves = (solved: Solved, point: Point): readonly Move[] =>
  [endMove(solved, point), ...jobMoves(solved, point), ...bundleMoves(solved, point)].filter(
    ({ cost }) => cost < Infinity,
  );

const NONE: Move = { cost: Infinity, jobs: 0, next: null };

const cheapestJob = ({ programme, tables, task: { by } }: Solved, { layer, set }: Point, limit: number): Move => {
  const [left, row, closed] = [tables.left[set]!, tables.best[layer]!, set | closedAt(programme, by, layer)];
  let [cost, jobs] = [limit, 0];
  for (let j = 0; j < by.jobs.length; j += 1) {
    const bit = 1 << j;
    if ((closed & bit) !== 0) continue;
    const other = by.cost[bit]! * left + row[set | bit]!;
    if (other < cost) [cost, jobs] = [other, bit];
  }
  return jobs === 0 ? NONE : { cost, jobs, next: { layer, set: set | jobs } };
};

const cheapestBundle = ({ programme, tables, task: { by } }: Solved, { layer, set }: Point, limit: number): Move => {
  const [left, wait, after] = [tables.left[set]!, tables.waits[layer]![set]!, tables.best[layer + 1]!];
  const free = by.cold & ~set;
  let [cost, jobs] = [limit, -1];
  if (layer < programme.hotFrom && wait + after[set]! < cost) [cost, jobs] = [wait + after[set]!, 0];
  for (let sub = free; sub > 0; sub = (sub - 1) & free) {
    if (by.minutes[sub]! > programme.slots[layer]!) continue;
    const other = wait + (by.cost[sub]! * left + after[set | sub]!);
    if (other < cost) [cost, jobs] = [other, sub];
  }
  return jobs < 0 ? NONE : { cost, jobs, next: { layer: layer + 1, set: set | jobs } };
};

/** The cheapest of `moves`, found without listing them: it is looked for at every point of every plan. */
const cheapestMove = (solved: Solved, point: Point): Move => {
  const end = endMove(solved, point);
  const job = cheapestJob(solved, point, end.cost);
  const soFar = job.next === null ? end : job;
  if (point.layer >= solved.task.to - 1) return soFar;
  const bundle = cheapestBundle(solved, point, soFar.cost);
  return bundle.next === null ? soFar : bundle;
};

const waitLevel = ({ tables, task }: Solved, { layer, set }: Point): Meanwhile =>
  MEANWHILE[at(task.choices.waits, at(at(tables.waitsBy, layer), set)).level];

const stepOf = (solved: Solved, point: Point, move: Move, next: Point): Step => {
  const waits = next.layer > point.layer;
  return {
    jobs: solved.task.by.jobs.filter((_, j) => (move.jobs >> j) & 1).map(({ id }) => id),
    slot: waits ? point.layer : null,
    meanwhile: waits ? waitLevel(solved, point) : solved.level,
  };
};

const endOf = ({ ends, tables }: Solved, { layer, set }: Point): Option['end'] => {
  const end = at(ends, at(at(tables.endsBy, layer), set));
  return { kind: 'kind' in end ? end.kind : 'book', meanwhile: MEANWHILE[end.level] };
};

/** The move itself, then the cheapest move at every later point; none if that comes to letting time pass for nothing. */
const follow = (solved: Solved, first: Point, firstMove: Move): readonly Option[] => {
  const steps: Step[] = [];
  let point = first;
  let move = firstMove;
  while (move.next !== null) {
    if (move.jobs !== 0) steps.push(stepOf(solved, point, move, move.next));
    point = move.next;
    move = cheapestMove(solved, point);
  }
  if (steps.length === 0) return [];
  const { booked, tables } = solved;
  const cancel = booked === null ? 0 : booked.cancelFee * at(tables.left, 0);
  return [{ cost: firstMove.cost + cancel, steps, end: endOf(solved, point), bookedFirst: booked !== null }];
};

const startOf = ({ task }: Solved): Point => ({ layer: task.from, set: 0 });

/** How many of the sets of cold jobs that could come first are worth a look. */
const FIRST_BUNDLES = 3;

/** The end, each job that can be done at once, and the cheapest sets of cold jobs. */
const firstMoves = (solved: Solved): readonly Move[] => {
  const start = startOf(solved);
  const all = moves(solved, start);
  const now = all.filter(({ next }) => next === null || next.layer === start.layer);
  const later = all.filter((move) => !now.includes(move)).sort((a, b) => a.cost - b.cost);
  return [...now, ...later.slice(0, FIRST_BUNDLES)];
};

/** One option for each first step. */
export const stepOptions = (solved: Solved): readonly Option[] => {
  const steps = firstMoves(solved).filter(({ next }) => next !== null);
  return steps.flatMap((move) => follow(solved, startOf(solved), move));
};

/** What a plan costs under each cause: its cost for any mass is the sum of mass and this. */
export type Found = {
  /** All jobs that may be done in it, in the programme's numbers. */
  readonly jobs: number;
  readonly costs: Float64Array;
};

/** The plan that begins with a move and then takes the cheapest one at every point. */
const foundAlong = (solved: Solved, firstMove: Move): Found => {
  const { programme, tables, task, ends, booked } = solved;
  const { by, choices } = task;
  const bits = programme.jobs.length;
  const costs = new Float64Array(programme.causes).fill(booked === null ? 0 : booked.cancelFee);
  const add = (set: number, same: number, more: Float64Array | null): void => {
    const was = by.origin[set]!;
    for (let c = 0; c < costs.length; c += 1) {
      costs[c]! += programme.left[(c << bits) | was]! * (more === null ? same : same + more[c]!);
    }
  };
  let point = startOf(solved);
  for (let move = firstMove; ; move = cheapestMove(solved, point)) {
    const { layer, set } = point;
    if (move.next === null) {
      add(set, 0, at(ends, at(at(tables.endsBy, layer), set)).costs[layer] ?? null);
      return { jobs: at(by.origin, set), costs };
    }
    const waits = move.next.layer > layer;
    add(set, at(by.cost, move.jobs), waits ? at(at(choices.waits, at(at(tables.waitsBy, layer), set)).costs, layer) : null);
    point = move.next;
  }
};

/** The best plan. */
export const foundBest = (solved: Solved): Found => foundAlong(solved, cheapestMove(solved, startOf(solved)));

/** The best plan with each first move. */
export const foundAll = (solved: Solved): readonly Found[] => firstMoves(solved).map((move) => foundAlong(solved, move));
