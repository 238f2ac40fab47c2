import { cafeById, groupsOf, machineById, type Cafe, type Machine } from '../cafe/records.ts';
import type { Ids } from '../store/id.ts';
import type { Store, Tx } from '../store/store.ts';
import { setTimer } from '../store/timers.ts';
import { days, instant, later, type Instant } from '../time/instant.ts';
import type { Words } from '../words/catalogue.ts';
import type { Job } from '../routine/standard.ts';
import type { Lexicon } from '../routine/reply.ts';
import type { SealConstants } from './constants.ts';
import type { GroupVerdict, ResultView, Show } from './look-views.ts';
import { asDrawn } from './record-forecast.ts';
import type { Reckoner } from './record-reckon.ts';
import { judge, readVerdict } from './record-verdict.ts';
import { tellVerdict, verdictsOf, type Look } from './records.ts';

export type SealNeeds = {
  readonly store: Store;
  readonly words: Words;
  readonly ids: Ids;
  readonly constants: SealConstants;
  readonly jobs: readonly Job[];
  readonly lexicons: ReadonlyMap<string, Lexicon>;
  /** Takes a group out of use, or lets it back in. */
  readonly groupOut: (tx: Tx, machine: string, group: number, out: boolean) => Promise<void>;
};

/** Where nothing but the user's handbook may be opened, seals are the technician's. */
const CLOSED_CONTRACTS: readonly (string | null)[] = ['warranty', 'lease', 'loan'];
export const staffMayChange = ({ contract }: Pick<Machine, 'contract'>): boolean => !CLOSED_CONTRACTS.includes(contract);

export const lookKey = (look: string): string => `look.${look}`;

export const createLookDesk = (needs: SealNeeds, reckoner: Reckoner) => {
  const { words, ids, constants } = needs;

  const show = (cafe: Pick<Cafe, 'language' | 'zone'>, locale: string = cafe.language): Show => ({ say: words.in(locale), reader: { locale: words.nearest(locale), zone: cafe.zone } });

  const groupNumbers = async (tx: Tx, machine: string): Promise<readonly number[]> => (await groupsOf(tx, machine)).map(({ number }) => number);

  const verdictOf = async (tx: Tx, look: string, group: number): Promise<GroupVerdict | undefined> => {
    const row = (await verdictsOf(tx, look)).find((each) => each.group_number === group);
    return row && { group, verdict: readVerdict(row.verdict), at: instant(row.at) };
  };

  /** Judges one group of a look from what is stored now, and acts on it. */
  const settle = async (tx: Tx, look: Look, cafe: Cafe, machine: Machine, group: number, now: Instant): Promise<void> => {
    const found = await reckoner.groupNow(tx, cafe, machine, group, now);
    if (!found) return;
    const before = await verdictOf(tx, look.id, group);
    const out = (await groupsOf(tx, machine.id)).some(({ number, state }) => number === group && state === 'out of use');
    const wasOut = before?.verdict.kind === 'out-of-use' ? before.verdict.wasOut === true : out;
    const verdict = judge({ ...found, wasOut, look: look.id, state: look.machine_state === 'hot' ? 'hot' : 'cold', staffMayChange: staffMayChange(machine) }, asDrawn(constants), now);
    await tellVerdict(tx, { id: ids(now), look: look.id, cafe: cafe.id, machine: machine.id, group_number: group, verdict: JSON.stringify(verdict), at: now, superseded_by: null });
    if (verdict.kind === 'out-of-use') await needs.groupOut(tx, machine.id, group, true);
    else if (before?.verdict.kind === 'out-of-use' && !wasOut) await needs.groupOut(tx, machine.id, group, false);
    if (verdict.kind === 'look-again') await setTimer(tx, ids, now, { key: `look.again.${machine.id}.${group}`, cafe: cafe.id, kind: 'look.again', ref: `${machine.id}.${group}`, at: later(now, days(verdict.inDays ?? 1)) });
  };

  const resultOf = async (tx: Tx, look: Look): Promise<ResultView> => ({
    look: look.id, by: look.by_name, at: instant(look.ended_at ?? look.started_at), hot: look.machine_state === 'hot',
    verdicts: (await verdictsOf(tx, look.id)).map((row) => ({ group: row.group_number, verdict: readVerdict(row.verdict), at: instant(row.at) })),
  });

  /** Café and machine of something that was stored; undefined once they are gone. */
  const placeOf = async (tx: Tx, row: { readonly cafe: string; readonly machine: string }): Promise<{ readonly cafe: Cafe; readonly machine: Machine } | undefined> => {
    const cafe = await cafeById(tx, row.cafe);
    const machine = await machineById(tx, row.machine);
    return cafe && machine && { cafe, machine };
  };

  return { needs, reckoner, show, groupNumbers, verdictOf, settle, resultOf, placeOf };
};

export type LookDesk = ReturnType<typeof createLookDesk>;
