import type { ReadRequest } from '../cafe/requests.ts';
import { cafeById, groupsOf, machineById, ownersOf, type Cafe, type Machine } from '../cafe/records.ts';
import type { Pressed } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { direct, personId, placeId, type Person } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import { post, redraw } from '../store/post.ts';
import type { Store, Tx } from '../store/store.ts';
import { setTimer } from '../store/timers.ts';
import { days, instant, later, type Instant } from '../time/instant.ts';
import type { Words } from '../words/catalogue.ts';
import type { Job } from '../routine/standard.ts';
import type { Lexicon } from '../routine/lexicons.ts';
import { turned } from './closing.ts';
import type { SealConstants } from './constants.ts';
import { gravestFirst, wantsChange, type GroupVerdict, type Ready, type ResultView, type Show } from './look-views.ts';
import type { LookFound } from './record-chances.ts';
import { asDrawn } from './record-forecast.ts';
import type { GroupNow, Reckoner } from './record-reckon.ts';
import { judge, readVerdict } from './record-verdict.ts';
import { fittingIn, recordOf, tellVerdict, verdictsOf, verdictsOfGroup, type Look } from './records.ts';
import { shelfOf } from './shelf.ts';
import { fromShelf } from './size-panels.ts';
import { clockOf, sizesPictureOf } from './size-picture.ts';

/** What a look saw that is a technician's. */
export type SealSeen = LookFound & { readonly cafe: string; readonly machine: string; readonly group: number; readonly text: string; readonly place: string; readonly by: Person };

export type SealNeeds = {
  readonly store: Store;
  readonly words: Words;
  readonly ids: Ids;
  readonly constants: SealConstants;
  readonly jobs: readonly Job[];
  readonly lexicons: ReadonlyMap<string, Lexicon>;
  /** What is asked for in plain words. */
  readonly requests: ReadRequest;
  /** Takes a group out of use, or lets it back in. */
  readonly groupOut: (tx: Tx, machine: string, group: number, out: boolean) => Promise<void>;
  /** Opens a case that a technician can be booked for; returns its id. */
  readonly caseFor: (tx: Tx, seen: SealSeen, now: Instant) => Promise<string>;
  /** Asks when a technician suits, for a case. */
  readonly askBooking: (pressed: Pressed, caseId: string) => Promise<Answer>;
  /** Told when what is believed of a café's seals has changed. */
  readonly moved: (tx: Tx, cafe: string, now: Instant) => Promise<void>;
};

/** Where nothing but the user's handbook may be opened, seals are the technician's. */
const CLOSED_CONTRACTS: readonly (string | null)[] = ['warranty', 'lease', 'loan'];
export const staffMayChange = ({ contract }: Pick<Machine, 'contract'>): boolean => !CLOSED_CONTRACTS.includes(contract);

export const LOOK_OUT = 'look.out';
const outKey = (machine: string, group: number, look: string): string => `look.out.${machine}.${group}.${look}`;

export const lookKey = (look: string): string => `look.${look}`;

export const createLookDesk = (needs: SealNeeds, reckoner: Reckoner) => {
  const { words, ids, constants } = needs;

  const show = (cafe: Pick<Cafe, 'language' | 'zone'>, locale: string = cafe.language): Show => ({ say: words.in(locale), reader: { locale: words.nearest(locale), zone: cafe.zone } });

  const groupNumbers = async (tx: Tx, machine: string): Promise<readonly number[]> => (await groupsOf(tx, machine)).map(({ number }) => number);

  const verdictOf = async (tx: Tx, look: string, group: number): Promise<GroupVerdict | undefined> => {
    const row = (await verdictsOf(tx, look)).find((each) => each.group_number === group);
    return row && { group, verdict: readVerdict(row.verdict), at: instant(row.at) };
  };

  /** Told on its own, to the channel and to owners who may be written to: a group stands still. */
  const putOut = async (tx: Tx, look: Look, cafe: Cafe, group: number, now: Instant): Promise<void> => {
    await needs.groupOut(tx, look.machine, group, true);
    const key = outKey(look.machine, group, look.id);
    const told = { kind: LOOK_OUT, data: { look: look.id, group }, cafe: cafe.id, priority: 'danger' } as const;
    if (cafe.place !== null) await post(tx, ids, now, { ...told, key, place: placeId(cafe.place), ...(cafe.bar_role ? { notifyRoles: [cafe.bar_role] } : {}) });
    for (const owner of (await ownersOf(tx, cafe.id)).filter(({ direct_ok, person }) => direct_ok === 1 && person !== null))
      await post(tx, ids, now, { ...told, key: `${key}.${owner.id}`, place: direct(personId(owner.person ?? '')) });
  };

  /** Back in use: whoever was told that it stands still sees it there. */
  const letIn = async (tx: Tx, machine: string, group: number, now: Instant): Promise<void> => {
    await needs.groupOut(tx, machine, group, false);
    const told = await tx.selectFrom('outbox').select('key').where('key', 'like', `${outKey(machine, group, '')}%`).execute();
    for (const { key } of told) await redraw(tx, key, now);
  };

  /** When looks put a group out of use, if they did and it still stands so; what another look than `but` said last. */
  const outSince = async (tx: Tx, machine: string, group: number, but?: string): Promise<number | undefined> => {
    const told = (await verdictsOfGroup(tx, machine, group)).filter(({ look }) => look !== but).map(({ verdict, at }) => ({ ...readVerdict(verdict), at }));
    const since = told.slice(told.findLastIndex(({ kind }) => kind !== 'out-of-use') + 1);
    return since[0]?.wasOut === true ? undefined : since[0]?.at;
  };

  const newSealSince = async (tx: Tx, machine: string, group: number, look: string): Promise<boolean> => {
    const since = await outSince(tx, machine, group, look);
    const seal = fittingIn(await recordOf(tx, machine), group, 'seal');
    return since !== undefined && seal?.fitted_at != null && seal.fitted_at > since;
  };

  /** A new seal is in and its checks were passed: a group that a look had put out goes on. */
  const sealRenewed = async (tx: Tx, machine: string, group: number, now: Instant): Promise<void> => {
    if ((await outSince(tx, machine, group)) !== undefined) await letIn(tx, machine, group, now);
  };

  /** Judges one group of a look from what is stored now, and acts on it. */
  const settle = async (tx: Tx, look: Look, cafe: Cafe, machine: Machine, group: number, now: Instant): Promise<void> => {
    const found = await reckoner.groupNow(tx, cafe, machine, group, now);
    if (!found) return;
    await needs.moved(tx, cafe.id, now);
    const before = await verdictOf(tx, look.id, group);
    const out = (await groupsOf(tx, machine.id)).some(({ number, state }) => number === group && state === 'out of use');
    const wasOut = before?.verdict.kind === 'out-of-use' ? before.verdict.wasOut === true : out;
    const verdict = judge({ ...found, wasOut, look: look.id, state: look.machine_state === 'hot' ? 'hot' : 'cold', staffMayChange: staffMayChange(machine) }, asDrawn(constants), now);
    await tellVerdict(tx, { id: ids(now), look: look.id, cafe: cafe.id, machine: machine.id, group_number: group, verdict: JSON.stringify(verdict), at: now, superseded_by: null });
    if (verdict.kind === 'out-of-use') await putOut(tx, look, cafe, group, now);
    else if (out && (before?.verdict.kind === 'out-of-use' ? !wasOut : await newSealSince(tx, machine.id, group, look.id))) await letIn(tx, machine.id, group, now);
    if (verdict.kind === 'look-again') await setTimer(tx, ids, now, { key: `look.again.${machine.id}.${group}`, cafe: cafe.id, kind: 'look.again', ref: `${machine.id}.${group}`, at: later(now, days(verdict.inDays ?? 1)) });
  };

  const resultOf = async (tx: Tx, look: Look): Promise<ResultView> => ({
    look: look.id, by: look.by_name, at: instant(look.ended_at ?? look.started_at), hot: look.machine_state === 'hot',
    verdicts: (await verdictsOf(tx, look.id)).map((row) => ({ group: row.group_number, verdict: readVerdict(row.verdict), at: instant(row.at) })),
  });

  /** The sizes of a group side by side, with what lies on the shelf. */
  const readyFor = async (tx: Tx, cafe: Cafe, found: GroupNow | undefined, locale?: string): Promise<Ready> => {
    const shelf = await shelfOf(tx, cafe.id);
    if (!found) return { shelf, pictures: [] };
    const drawn = asDrawn(constants);
    const instead = fromShelf(found.fit, found.next, shelf, drawn);
    return { shelf, pictures: sizesPictureOf(show(cafe, locale), found, shelf, drawn), ...(instead ? { instead: { sealMm: instead.stack.sealMm, at: clockOf(turned(instead.degrees, found.history.closes)) } } : {}) };
  };

  /** For the gravest group of a look that wants a seal: its sizes, unless another size is advised by now. */
  const sizesFor = async (tx: Tx, cafe: Cafe, machine: Machine, view: ResultView, now: Instant): Promise<Ready['pictures']> => {
    const told = gravestFirst(view.verdicts).find(wantsChange);
    const found = told && (await reckoner.groupNow(tx, cafe, machine, told.group, now));
    const size = told?.verdict.size;
    if (!found?.next || found.next.sealMm !== size?.sealMm || found.next.shimMm !== size.shimMm) return [];
    return (await readyFor(tx, cafe, found)).pictures;
  };

  /** Café and machine of something that was stored; undefined once they are gone. */
  const placeOf = async (tx: Tx, row: { readonly cafe: string; readonly machine: string }): Promise<{ readonly cafe: Cafe; readonly machine: Machine } | undefined> => {
    const cafe = await cafeById(tx, row.cafe);
    const machine = await machineById(tx, row.machine);
    return cafe && machine && { cafe, machine };
  };

  return { needs, reckoner, show, groupNumbers, readyFor, sizesFor, verdictOf, settle, resultOf, placeOf, sealRenewed };
};

export type LookDesk = ReturnType<typeof createLookDesk>;
