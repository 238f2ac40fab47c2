import { readMachineFacts } from '../cafe/machine-facts.ts';
import { groupsOf, machineById, type Machine } from '../cafe/records.ts';
import { degreesOfHour } from '../seals/clock-hour.ts';
import { endPlan, factsFollow, fittingById, fittingIn, insertFitting, insertReading, putBackIn, readingById, recordOf, supersedeFitting, supersedeReading, takeOut, type Fitting } from '../seals/records.ts';
import type { Ids } from '../store/id.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import type { FittedPart, SealHow } from './booking-state.ts';
import type { Fitted } from './closed.ts';

/** "5:30", "6", "half past five" is left to people. Undefined: no hour a handle stands at. */
export const handleHourIn = (text: string): number | undefined => {
  const found = /^(\d{1,2})(?:[:.h](\d{2}))?$/.exec(text.trim());
  const hour = found ? Number(found[1]) + Number(found[2] ?? 0) / 60 : Number.NaN;
  return hour >= 2 && hour <= 10 ? hour : undefined;
};

/** The size of a seal among the parts, as the book or the technician wrote it: `seal-8`, "seal 8.5 mm". */
export const sealIn = (part: string): number | undefined => {
  const found = /^seal-(\d+(?:\.\d+)?)$/.exec(part) ?? /\bseal\b\D{0,12}(\d{1,2}(?:[.,]\d)?)\s*mm/i.exec(part);
  const size = found ? Number((found[1] ?? '').replace(',', '.')) : Number.NaN;
  return size >= 3 && size <= 12 ? size : undefined;
};

type Place = { readonly machine: Machine; readonly group: number };

/** What sits in a group from now on; a screen has no size here. */
type Sits = { readonly part: 'seal' | 'screen'; readonly sizeMm: number | null; readonly how: SealHow };

const UNSAID: SealHow = { sideUp: null, shimMm: null, material: null };

const lineOf = ({ machine, group }: Place, fitted: Fitted, id: string, { part, sizeMm, how }: Sits, fixing: string | null): Fitting => ({
  id, cafe: fitted.cafe, machine: machine.id, group_number: group, part, fitted_at: fitted.at, met_at: fitted.at, out_at: null, size_mm: sizeMm, outside_mm: null, inside_mm: null, profile: null,
  material: how.material, side_up: how.sideUp, shim_mm: how.shimMm, fixing, why_out: null, came_out: null, by_person: null, by_name: fitted.by, at: fitted.at, superseded_by: null,
});

const isSame = (row: Fitting, { sizeMm, how }: Sits): boolean => row.size_mm === sizeMm && row.side_up === how.sideUp && row.shim_mm === how.shimMm && row.material === how.material;

/** Causes by which the seal had come to its end. */
const SEAL_GONE: readonly string[] = ['seal-worn', 'seal-crumbling'];

/** Why the seal before came out and how it was: its life is reckoned from it. */
const wayOut = ({ cause, leaked }: Fitted): { readonly why: string; readonly cameOut: string } => {
  if (!cause.split('+').some((each) => SEAL_GONE.includes(each))) return { why: 'other', cameOut: 'not-looked' };
  return { why: leaked ? 'leaked' : 'due', cameOut: 'bad' };
};

/** What was in the group is out from then on; a seal nobody wrote down gets its line now that it is out. */
const takeOutBefore = async (tx: Tx, { machine, group }: Place, fitted: Fitted, part: Sits['part'], before: Fitting | undefined, id: string): Promise<void> => {
  const { why, cameOut } = part === 'seal' ? wayOut(fitted) : { why: 'other', cameOut: 'not-looked' };
  if (before) return takeOut(tx, before.id, fitted.at, why, cameOut);
  if (part !== 'seal') return;
  const { seal, shim } = readMachineFacts(machine.facts);
  const met = lineOf({ machine, group }, fitted, id, { part, sizeMm: seal ?? null, how: { ...UNSAID, shimMm: shim ?? null } }, null);
  await insertFitting(tx, { ...met, fitted_at: null, met_at: Math.min(machine.created_at, fitted.at), out_at: fitted.at, why_out: why, came_out: cameOut });
};

const keyOf = ({ id }: Fitted, part: Sits['part'], group: number): string => (part === 'seal' ? `${id}.${group}` : `${id}.${part}.${group}`);

/** The part a technician put in: told again otherwise, the old line stays and names the new one. */
const writePart = async (tx: Tx, ids: Ids, place: Place, fitted: Fitted, sits: Sits, now: Instant): Promise<void> => {
  const { part } = sits;
  const id = keyOf(fitted, part, place.group);
  const record = await recordOf(tx, place.machine.id);
  const mine = record.fittings.findLast((row) => row.group_number === place.group && row.part === part && (row.id === id || row.id.startsWith(`${id}.`)));
  if (mine && isSame(mine, sits)) return;
  const again = mine || (await fittingById(tx, id)) ? `.${ids(now)}` : '';
  const before = mine ? undefined : fittingIn(record, place.group, part);
  const fixing = part === 'screen' ? (mine?.fixing ?? before?.fixing ?? readMachineFacts(place.machine.facts).screen ?? null) : null;
  if (!mine) await takeOutBefore(tx, place, fitted, part, before, `${fitted.id}.old.${place.group}${again}`);
  await insertFitting(tx, lineOf(place, fitted, `${id}${again}`, sits, fixing));
  if (mine) await supersedeFitting(tx, mine.id, `${id}${again}`);
  else if (part === 'seal') await endPlan(tx, place.machine.id, place.group);
};

/** Another cause was written since: how the old seal came out is told anew. */
const tellWayOut = async (tx: Tx, { machine, group }: Place, fitted: Fitted): Promise<void> => {
  const { why, cameOut } = wayOut(fitted);
  const out = (await recordOf(tx, machine.id)).fittings.filter((row) => row.group_number === group && row.part === 'seal' && row.out_at === fitted.at && row.why_out !== why);
  for (const row of out) await takeOut(tx, row.id, fitted.at, why, cameOut);
};

/** Lines of this visit for groups in which nothing was fitted after all: they stay, and count no more. */
const takeBack = async (tx: Tx, machine: Machine, fitted: Fitted, part: Sits['part'], groups: readonly number[]): Promise<void> => {
  const mine = (await recordOf(tx, machine.id)).fittings.filter((row) => row.part === part && row.id.startsWith(`${fitted.id}.`) && !groups.includes(row.group_number));
  for (const row of mine) await supersedeFitting(tx, row.id, `${fitted.id}.none`);
  for (const group of new Set(mine.map((row) => row.group_number))) await putBackIn(tx, machine.id, group, part, fitted.at);
};

const writeHandle = async (tx: Tx, ids: Ids, place: Place, fitted: Fitted, text: string, now: Instant): Promise<void> => {
  const hour = handleHourIn(text);
  if (hour === undefined) return;
  await writeReading(tx, ids, place, fitted, { what: 'handle', value: String(degreesOfHour(hour)), first: `${fitted.id}.h${place.group}` }, now);
};

/** One of several groups is told of by itself: it is the one the visit was about. */
const leadsOf = ({ report: { leads = [] }, group }: Fitted, groups: number): readonly { readonly group: number; readonly leadMm: number }[] => {
  const [only] = leads;
  if (leads.length === 1 && only !== undefined && groups > 1) return group === null ? [] : [{ group, leadMm: only }];
  return leads.slice(0, groups).map((leadMm, i) => ({ group: i + 1, leadMm }));
};

const writeReading = async (tx: Tx, ids: Ids, place: Place, fitted: Fitted, { what, value, first }: { readonly what: string; readonly value: string; readonly first: string }, now: Instant): Promise<void> => {
  const before = (await recordOf(tx, place.machine.id)).readings.findLast((row) => row.id === first || row.id.startsWith(`${first}.`));
  if (before?.value === value) return;
  const id = before || (await readingById(tx, first)) ? `${first}.${ids(now)}` : first;
  // Whoever ends a visit has tried the machine: it is hot.
  await insertReading(tx, { id, cafe: fitted.cafe, machine: place.machine.id, group_number: place.group, look: null, what, value, machine_state: 'hot', by_person: null, by_name: fitted.by, at: fitted.at, superseded_by: null });
  if (before) await supersedeReading(tx, before.id, id);
};

/** As many as the machine has groups: one in each. Else the group that was named, the one it was about, or the only one. */
const groupsFor = ({ count, group }: FittedPart, fitted: Fitted, groups: number): readonly number[] => {
  if (groups > 1 && count === groups) return Array.from({ length: groups }, (_, i) => i + 1);
  const where = group ?? fitted.group ?? (groups === 1 ? 1 : null);
  return where === null || where > groups ? [] : [where];
};

const sitsOf = (fitted: FittedPart): Sits | undefined => {
  if (fitted.part === 'screen') return { part: 'screen', sizeMm: null, how: UNSAID };
  const sizeMm = sealIn(fitted.part);
  return sizeMm === undefined ? undefined : { part: 'seal', sizeMm, how: fitted.how ?? UNSAID };
};

/** Takes what a close-out says of seals, screens and handles into the machine's record; other parts are for the stock to take. */
export const writeFitted = (ids: Ids) => async (tx: Tx, fitted: Fitted, now: Instant): Promise<void> => {
  const machine = fitted.machine === null ? undefined : await machineById(tx, fitted.machine);
  if (!machine) return;
  const all = fitted.parts.flatMap((one) => {
    const sits = sitsOf(one);
    return sits === undefined ? [] : groupsFor(one, fitted, machine.groups).map((group) => ({ sits, group }));
  });
  for (const part of ['seal', 'screen'] as const) {
    const inGroups = new Map(all.flatMap(({ sits, group }) => (sits.part === part ? [[group, sits] as const] : [])));
    await takeBack(tx, machine, fitted, part, [...inGroups.keys()]);
    for (const [group, sits] of inGroups) await writePart(tx, ids, { machine, group }, fitted, sits, now);
    if (part === 'seal') for (const group of inGroups.keys()) await tellWayOut(tx, { machine, group }, fitted);
  }
  await factsFollow(tx, machine, (await groupsOf(tx, machine.id)).map(({ number }) => number));
  for (const [i, text] of (fitted.report.hours ?? []).entries()) if (i < machine.groups) await writeHandle(tx, ids, { machine, group: i + 1 }, fitted, text, now);
  for (const { group, leadMm } of leadsOf(fitted, machine.groups)) await writeReading(tx, ids, { machine, group }, fitted, { what: 'lead', value: String(leadMm), first: `${fitted.id}.lead${group}` }, now);
};
