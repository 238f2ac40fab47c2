import type { Candidate, Look, Worth } from './asking.ts';
import { askOnce, candidates, cheapestFirst, product, seenAfter, total } from './asking.ts';
import type { Bench } from './bench.ts';
import { at } from './compiled.ts';
import { leastBy, optionsAhead, worthsOf } from './foresight.ts';
import type { Option } from './moves.ts';
import { dangerChance, RISK } from './safety.ts';

/**
 * How wide the search looks: questions costed exactly one step ahead, first questions taken two steps ahead (and how many
 * before none is found), second questions tried after each answer.
 */
export type Breadth = {
  readonly exact: number;
  readonly first: number;
  readonly again: number;
  readonly second: number;
};
export const BREADTH: Breadth = { exact: 3, first: 3, again: 5, second: 5 };

export type NextQuestion = {
  readonly question: string;
  readonly because: 'danger' | 'saving';
  /** Money saved on average by asking it, its own cost taken off; 0 for a danger, which is asked whatever it saves. */
  readonly saving: number;
};

/** What to do next: ask, or act on the first of the options (cheapest first). */
export type Move =
  | ({ readonly kind: 'ask' } & NextQuestion)
  | { readonly kind: 'act'; readonly options: readonly Option[] };

type Search = { readonly bench: Bench; readonly worth: Worth; readonly least: Worth; readonly looks: readonly Look[] };

/** Least cost after one answer: deciding, or asking one more question first. */
const bestAfter = ({ worth, least }: Search, mass: Float64Array, seconds: readonly (() => Candidate)[]): number => {
  const now = worth(mass);
  const spare = now - least(mass);
  const weight = total(mass);
  let best = now;
  for (const second of seconds) {
    const candidate = second();
    if (candidate.cost * weight < spare) best = Math.min(best, askOnce(worth, mass, now, candidate));
  }
  return best;
};

/** Expected cost of asking a question and then, after each answer, whatever is best up to one question more. */
const askTwice = (search: Search, now: number, first: Candidate, breadth: number): number => {
  const { bench, looks } = search;
  const others = looks.filter(({ candidate }) => candidate.index !== first.index).slice(0, breadth);
  const answered = first.answers.reduce((sum, chance, a) => {
    const seconds = others.map(({ candidate }) => () => seenAfter(bench, first, a, candidate));
    return sum + bestAfter(search, product(bench.chance, chance), seconds);
  }, 0);
  const ifUnsure = Math.min(now, others[0]?.after ?? Infinity);
  return first.cost + (1 - first.unsure) * answered + first.unsure * ifUnsure;
};

/** The question that saves most, two steps ahead; looked for more widely before none is found. */
const bestQuestion = (search: Search, now: number, breadth: Breadth): Look | null => {
  const ahead = ({ candidate }: Look): Look => ({ candidate, after: askTwice(search, now, candidate, breadth.second) });
  const [best = null] = cheapestFirst(search.looks.slice(0, breadth.first).map(ahead));
  if (best === null || best.after < now) return best;
  return cheapestFirst([best, ...search.looks.slice(breadth.first, breadth.again).map(ahead)])[0] ?? null;
};

/** Less than this is no saving: it is what rounding leaves. */
const NOTHING = 1e-9;

/** What asking and acting cost now. */
type Weighed = { readonly options: readonly Option[]; readonly acting: number; readonly best: Look | null };

const weighUp = (bench: Bench, breadth: Breadth): Weighed => {
  const mass = bench.chance;
  const { exact, quick } = worthsOf(bench);
  const plan = bench.solver.plan(mass, bench.limits);
  const least = leastBy(bench);
  const now = plan.best.cost;
  const spare = now - least(mass);
  const affordable = candidates(bench).filter(({ cost }) => cost < spare);
  const look =
    (worth: Worth) =>
    (candidate: Candidate): Look => ({ candidate, after: askOnce(worth, mass, now, candidate) });
  const guessed = cheapestFirst(affordable.map(look(quick)));
  const better = guessed.slice(0, breadth.exact).map(({ candidate }) => look(exact)(candidate));
  const looks = cheapestFirst([...better, ...guessed.slice(breadth.exact)]);
  const best = bestQuestion({ bench, worth: quick, least, looks }, now, breadth);
  const questions = looks.slice(0, breadth.second).map(({ candidate }) => candidate);
  const options = optionsAhead(bench, plan, questions, least, best?.after ?? Infinity);
  return { options, acting: at(options, 0).cost, best };
};

const dangerQuestion = (bench: Bench): NextQuestion | null => {
  const index = bench.open.find((q) => bench.askable.includes(q));
  if (index === undefined) return null;
  return { question: at(bench.compiled.questions, index).question.id, because: 'danger', saving: 0 };
};

/**
 * Caution that comes before any question: the complaint itself, an answer given, or a danger too likely to wait. Where a
 * danger was told, even one for which a group out would do, what is likely behind it is not asked about either.
 */
const mustActFirst = ({ compiled, caution, chance, dangerTold }: Bench): boolean => {
  if (caution.level < 2) return false;
  if (dangerTold) return true;
  return dangerChance(compiled, chance, 2) > RISK.beforeAsking;
};

/** What can be done now, cheapest first, whether or not there is still something worth asking. */
export const optionsNow = (bench: Bench, breadth: Breadth = BREADTH): readonly Option[] =>
  mustActFirst(bench) ? bench.solver.plan(bench.chance, bench.limits).options : weighUp(bench, breadth).options;

/**
 * Ask or act. Dangers are asked about first, none is left out for its cost, and a stop ends the asking; but one that only
 * chances ask for is a verdict like others: first comes what may clear it, or a fleet in which a danger is a little more
 * frequent would stop at every complaint, unlooked at.
 */
export const nextMove = (bench: Bench, breadth: Breadth = BREADTH): Move => {
  if (mustActFirst(bench)) return { kind: 'act', options: optionsNow(bench, breadth) };
  const danger = dangerQuestion(bench);
  if (danger !== null) return { kind: 'ask', ...danger };
  const { options, acting, best } = weighUp(bench, breadth);
  if (best === null || best.after >= acting - NOTHING) return { kind: 'act', options };
  const { question } = at(bench.compiled.questions, best.candidate.index);
  return { kind: 'ask', question: question.id, because: 'saving', saving: acting - best.after };
};
