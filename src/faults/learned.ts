import type { Cafe } from '../cafe/records.ts';
import type { Tx } from '../store/store.ts';
import type { Scored } from './calibration.ts';
import { learn, withLearned, type ClosedCase } from './learn.ts';
import type { Model } from './model.ts';
import { bare, readingsOf, type CaseRecord } from './records.ts';
import type { Verdict, VerdictKind } from './verdict.ts';

/** What a technician found, by case. */
export type Findings = (tx: Tx, cases: readonly string[]) => Promise<ReadonlyMap<string, string>>;

/** Newest cases first; older ones than these have had their say. Judgement, no source. */
const MOST_CASES = 500;

export type Over = { readonly row: CaseRecord; readonly found: string | null };

/** Cases that came to an end: cured at the bar, or with a finding. Of this café alone, or of all that learn together. */
export const casesOver = async (tx: Tx, cafe: Pick<Cafe, 'id' | 'learn_together'>, findings: Findings, alone: boolean): Promise<readonly Over[]> => {
  const others = alone || cafe.learn_together !== 1 ? [] : (await tx.selectFrom('cafe').select('id').where('learn_together', '=', 1).where('state', '!=', 'gone').execute()).map(({ id }) => id);
  const rows = await tx.selectFrom('fault_case').selectAll().where('cafe', 'in', [...new Set([cafe.id, ...others])]).where('symptom', 'is not', null).where('state', 'in', ['fixed', 'booked']).orderBy('updated_at', 'desc').limit(MOST_CASES).execute();
  const found = await findings(tx, rows.map(({ id }) => id));
  return rows.map((row) => ({ row, found: found.get(row.id) ?? null })).filter(({ row, found: cause }) => cause !== null || readingsOf(row).some(({ kind }) => kind === 'tried'));
};

const asClosed = ({ row, found }: Over): ClosedCase => ({
  case: { symptom: row.symptom ?? '', readings: readingsOf(row).map(bare), records: [] },
  found,
});

/** Learns anew from all cases each time one more is over; between two of them the same model is handed out. */
export const createLearned = () => {
  const kept = new Map<string, { readonly of: string; readonly model: Model }>();
  return (key: string, base: Model, over: readonly Over[]): Model => {
    if (over.length === 0) return base;
    const of = `${over.length} ${over.map(({ row, found }) => `${row.id}${row.rev}${found ?? ''}`).join(' ')}`;
    const known = kept.get(key);
    if (known?.of === of) return known.model;
    const model = withLearned(base, learn(base, over.map(asClosed)));
    kept.set(key, { of, model });
    return model;
  };
};

/** How the verdicts of a café came out. */
export type Standing = {
  readonly scored: readonly Scored[];
  /** Cases whose first verdict was right: the cause found was the likeliest one said, or the job at the bar ended it. */
  readonly right: number;
  readonly judged: number;
  /** Expected costs as reckoned at the time, summed; null where no case had the café's own figures. */
  readonly cost: { readonly advised: number; readonly alwaysCall: number; readonly alwaysTry: number; readonly cases: number } | null;
};

const verdictOf = ({ row }: Over): Verdict | undefined => (row.verdict === null ? undefined : (JSON.parse(row.verdict) as Verdict));
const costOf = ({ options }: Verdict, kinds: readonly VerdictKind[]): number | undefined => options.find(({ kind }) => kinds.includes(kind))?.cost;

const costsOf = (verdicts: readonly Verdict[]): Standing['cost'] => {
  const known = verdicts.flatMap((verdict) => {
    const call = costOf(verdict, ['book']);
    const trying = costOf(verdict, ['bar-job', 'leave-group-out']);
    return verdict.money.known && call !== undefined && trying !== undefined ? [{ advised: verdict.choice.cost, call, trying }] : [];
  });
  const sum = (pick: (it: (typeof known)[number]) => number): number => known.reduce((all, it) => all + pick(it), 0);
  return known.length === 0 ? null : { advised: sum((it) => it.advised), alwaysCall: sum((it) => it.call), alwaysTry: sum((it) => it.trying), cases: known.length };
};

export const standingOf = (over: readonly Over[]): Standing => {
  const told = over.flatMap((it) => {
    const verdict = verdictOf(it);
    return verdict ? [{ it, verdict }] : [];
  });
  const scored = told.flatMap(({ it, verdict }) => (it.found === null ? [] : [{ chances: Object.fromEntries(verdict.likely.map(({ cause, chance }) => [cause, chance])), found: it.found }]));
  const isRight = ({ it, verdict }: (typeof told)[number]): boolean =>
    it.found === null ? readingsOf(it.row).some((reading) => reading.kind === 'tried' && reading.result === 'cured') : (verdict.likely[0]?.cause.split('+').includes(it.found) ?? false);
  return { scored, right: told.filter(isRight).length, judged: told.length, cost: costsOf(told.map(({ verdict }) => verdict)) };
};
