import type { Belief } from './belief.ts';
import { believe, chances, lastReadings } from './belief.ts';
import type { Compiled, CompiledJob } from './compiled.ts';
import { at, compile } from './compiled.ts';
import type { Case, Model, Reading, Situation } from './model.ts';
import { programmeFor } from './options.ts';
import type { Limits, Solver } from './plan.ts';
import { solver } from './plan.ts';
import type { Caution, UnsafeTable } from './safety.ts';
import { caution, limitsFor, openDangers, toldDanger, unsafeTable } from './safety.ts';
import { reckonedMoney } from './waiting.ts';

/** One case laid out for a decision: what is believed, what can be done, what the rules allow, what may be asked. */
export type Bench = {
  readonly compiled: Compiled;
  readonly situation: Situation;
  readonly readings: readonly Reading[];
  readonly belief: Belief;
  /** Chances of the causes, summing to 1. */
  readonly chance: Float64Array;
  readonly caution: Caution;
  /** Whether the complaint or any answer, taken back or not, told of a danger. */
  readonly dangerTold: boolean;
  /** Danger questions without an answer. */
  readonly open: readonly number[];
  readonly jobs: readonly CompiledJob[];
  readonly unsafe: UnsafeTable;
  readonly solver: Solver;
  readonly limits: Limits;
  /** Questions not asked yet that could be asked now. */
  readonly askable: readonly number[];
};

const about = (readings: readonly Reading[]): { readonly asked: ReadonlySet<string>; readonly known: ReadonlySet<string> } => ({
  asked: new Set(readings.flatMap((it) => (it.kind === 'answer' || it.kind === 'unsure' ? [it.question] : []))),
  known: new Set(readings.flatMap((it) => (it.kind === 'record' ? [it.fact] : []))),
});

/** Never what was asked or stands on record (a danger is asked in any case), never what the machine's state forbids. */
const mayAsk = (compiled: Compiled, situation: Situation, readings: readonly Reading[], handsOff: boolean, rests: boolean): readonly number[] => {
  const { asked, known } = about(readings);
  return compiled.askable.filter((q) => {
    const { question } = at(compiled.questions, q);
    if (asked.has(question.id)) return false;
    if (known.has(question.fact) && !question.danger) return false;
    if (question.handsOn && handsOff) return false;
    // A machine that rests until a danger is ruled out brews nothing either.
    if (question.cost > 0 && rests) return false;
    return question.machine === 'any' || question.machine === situation.machine;
  });
};

const triedJobs = (readings: readonly Reading[]): ReadonlySet<string> =>
  new Set(readings.flatMap((reading) => (reading.kind === 'tried' ? [reading.job] : [])));

/** What a question costs in money: the minutes it takes and what it costs beside them. */
export const askingCost = (bench: Pick<Bench, 'compiled' | 'situation'>, index: number): number => {
  const { question } = at(bench.compiled.questions, index);
  return question.cost + (question.minutes / 60) * reckonedMoney(bench.situation.money).staffAnHour;
};

export const bench = (model: Model, situation: Situation, aCase: Case): Bench => {
  const compiled = compile(model, aCase.symptom);
  const readings = lastReadings(aCase.readings);
  const belief = believe(compiled, aCase);
  const chance = chances(belief);
  const open = openDangers(compiled, aCase.readings);
  const care = caution(compiled, chance, aCase.readings);
  const { programme, jobs } = programmeFor(compiled, situation, chance, triedJobs(readings));
  const unsafe = unsafeTable(compiled, jobs);
  return {
    compiled,
    situation,
    readings,
    belief,
    chance,
    caution: care,
    dangerTold: toldDanger(compiled, aCase.readings),
    open,
    jobs,
    unsafe,
    solver: solver(programme),
    limits: limitsFor(compiled, unsafe, chance, care.level, open.length > 0),
    askable: mayAsk(compiled, situation, readings, open.length > 0 || care.level >= 2, care.level >= 2),
  };
};
