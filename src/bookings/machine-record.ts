import { readMachineFacts } from '../cafe/machine-facts.ts';
import { groupsOf, machineById, type Cafe, type Machine } from '../cafe/records.ts';
import { degreesOfHour, hourOfDegrees } from '../seals/clock-hour.ts';
import { endPlan, factsFollow, fittingById, fittingIn, insertFitting, insertReading, NOT_READ, putBackIn, readingById, recordOf, supersedeFitting, supersedeReading, takeOut, type Fitting } from '../seals/records.ts';
import type { Ids } from '../store/id.ts';
import type { Tx } from '../store/store.ts';
import { instant, type Instant } from '../time/instant.ts';
import { hardnessIn } from '../water/hardness-words.ts';
import type { Fitted } from './closed.ts';
import { nothingRecorded, type MachineRecord } from './handing.ts';
import { bookingOf, finishedAt, type BookingRecord } from './records.ts';
import { readReport } from './report.ts';

/** `5:30` of a decimal hour. */
const hourText = (hour: number): string => {
  const minutes = Math.round(hour * 60);
  return `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}`;
};

/** "5:30", "6", "half past five" is left to people. Undefined: no hour a handle stands at. */
export const handleHourIn = (text: string): number | undefined => {
  const found = /^(\d{1,2})(?:[:.h](\d{2}))?$/.exec(text.trim());
  const hour = found ? Number(found[1]) + Number(found[2] ?? 0) / 60 : Number.NaN;
  return hour >= 2 && hour <= 10 ? hour : undefined;
};

/** What technicians read and renewed at earlier visits; of each thing the last word counts. */
const readingsOfVisits = (visits: readonly BookingRecord[]): Pick<MachineRecord, 'gauges' | 'tenSeconds' | 'filterFittedAt' | 'hardness'> => {
  const told = visits.flatMap((row) => {
    const { state } = bookingOf(row);
    return state.kind === 'finished' ? [{ at: instant(state.since), report: readReport(row.report), parts: state.closeOut.fitted }] : [];
  }).toSorted((a, b) => b.at - a.at);
  const gauges = (['boiler', 'pump'] as const).flatMap((gauge) => told.flatMap(({ at, report }) => {
    const bar = report[gauge]?.[1] ?? report[gauge]?.[0];
    return bar == null ? [] : [{ gauge, bar, at }];
  }).slice(0, 1));
  const flow = told.find(({ report }) => report.tenSeconds !== undefined);
  return {
    gauges, tenSeconds: (flow?.report.tenSeconds ?? []).map((millilitres, i) => ({ group: i + 1, millilitres, at: flow?.at ?? instant(0) })),
    hardness: told.find(({ report }) => report.hardness !== undefined)?.report.hardness ?? null,
    filterFittedAt: told.find(({ parts }) => parts.some(({ part }) => part === 'filter-cartridge'))?.at ?? null,
  };
};

/** What is in each group and how its handle last stood, for who comes. */
export const machineRecord = async (tx: Tx, _cafe: Cafe, machine: Machine, _now: Instant): Promise<MachineRecord> => {
  const record = await recordOf(tx, machine.id);
  const facts = readMachineFacts(machine.facts);
  const seals = (await groupsOf(tx, machine.id)).map(({ number }) => {
    const seal = fittingIn(record, number, 'seal');
    const handle = record.readings.findLast((row) => row.group_number === number && row.what === 'handle' && row.value !== NOT_READ && row.value !== 'stop');
    return {
      group: number, sizeMm: seal?.size_mm ?? facts.seal ?? null, screen: fittingIn(record, number, 'screen')?.fixing ?? facts.screen ?? null,
      fittedAt: seal?.fitted_at == null ? null : instant(seal.fitted_at), handleHour: handle === undefined ? null : hourText(hourOfDegrees(Number(handle.value))),
    };
  });
  const visits = readingsOfVisits(await finishedAt(tx, machine.id));
  // What the café knows of its water is what its technician or its own strip read last.
  return { ...nothingRecorded, seals, ...visits, hardness: hardnessIn(facts.hardness ?? '') ?? visits.hardness };
};

/** The size of a seal among the parts, as the book or the technician wrote it: `seal-8`, "seal 8.5 mm". */
export const sealIn = (part: string): number | undefined => {
  const found = /^seal-(\d+(?:\.\d+)?)$/.exec(part) ?? /\bseal\b\D{0,12}(\d{1,2}(?:[.,]\d)?)\s*mm/i.exec(part);
  const size = found ? Number((found[1] ?? '').replace(',', '.')) : Number.NaN;
  return size >= 3 && size <= 12 ? size : undefined;
};

type Place = { readonly machine: Machine; readonly group: number };

const lineOf = ({ machine, group }: Place, fitted: Fitted, id: string, sizeMm: number): Fitting => ({
  id, cafe: fitted.cafe, machine: machine.id, group_number: group, part: 'seal', fitted_at: fitted.at, met_at: fitted.at, out_at: null, size_mm: sizeMm, outside_mm: null, inside_mm: null, profile: null,
  material: null, side_up: null, shim_mm: null, fixing: null, why_out: null, came_out: null, by_person: null, by_name: fitted.by, at: fitted.at, superseded_by: null,
});

/** The seal a technician put in: told again with another size, the old line stays and names the new one. */
const writeSeal = async (tx: Tx, ids: Ids, place: Place, fitted: Fitted, sizeMm: number, now: Instant): Promise<void> => {
  const id = `${fitted.id}.${place.group}`;
  const record = await recordOf(tx, place.machine.id);
  const mine = record.fittings.findLast((row) => row.group_number === place.group && row.part === 'seal' && (row.id === id || row.id.startsWith(`${id}.`)));
  if (mine?.size_mm === sizeMm) return;
  if (mine || (await fittingById(tx, id))) {
    // Taken back by a correction before: what is in the group comes out once more.
    const inside = mine ? undefined : fittingIn(record, place.group, 'seal');
    if (inside) await takeOut(tx, inside.id, fitted.at, 'other', 'not-looked');
    const corrected = `${id}.${ids(now)}`;
    await insertFitting(tx, lineOf(place, fitted, corrected, sizeMm));
    if (mine) await supersedeFitting(tx, mine.id, corrected);
    return;
  }
  const before = fittingIn(record, place.group, 'seal');
  if (before) await takeOut(tx, before.id, fitted.at, 'other', 'not-looked');
  await insertFitting(tx, lineOf(place, fitted, id, sizeMm));
  await endPlan(tx, place.machine.id, place.group);
};

/** Lines of this visit for groups in which no seal was fitted after all: they stay, and count no more. */
const takeBackSeals = async (tx: Tx, machine: Machine, fitted: Fitted, groups: readonly number[]): Promise<void> => {
  const mine = (await recordOf(tx, machine.id)).fittings.filter((row) => row.part === 'seal' && row.id.startsWith(`${fitted.id}.`) && !groups.includes(row.group_number));
  for (const row of mine) {
    await supersedeFitting(tx, row.id, `${fitted.id}.none`);
    await putBackIn(tx, machine.id, row.group_number, fitted.at);
  }
};

const writeHandle = async (tx: Tx, ids: Ids, place: Place, fitted: Fitted, text: string, now: Instant): Promise<void> => {
  const hour = handleHourIn(text);
  if (hour === undefined) return;
  const value = String(degreesOfHour(hour));
  const first = `${fitted.id}.h${place.group}`;
  const before = (await recordOf(tx, place.machine.id)).readings.findLast((row) => row.id === first || row.id.startsWith(`${first}.`));
  if (before?.value === value) return;
  const id = before || (await readingById(tx, first)) ? `${first}.${ids(now)}` : first;
  // Whoever ends a visit has tried the machine: it is hot.
  await insertReading(tx, { id, cafe: fitted.cafe, machine: place.machine.id, group_number: place.group, look: null, what: 'handle', value, machine_state: 'hot', by_person: null, by_name: fitted.by, at: fitted.at, superseded_by: null });
  if (before) await supersedeReading(tx, before.id, id);
};

/** Takes what a close-out says of seals and handles into the machine's record; other parts are for the stock to take. */
export const writeFitted = (ids: Ids) => async (tx: Tx, fitted: Fitted, now: Instant): Promise<void> => {
  const machine = fitted.machine === null ? undefined : await machineById(tx, fitted.machine);
  if (!machine) return;
  const seals = fitted.parts.flatMap(({ part, group }) => {
    const size = sealIn(part);
    const where = group ?? fitted.group ?? (machine.groups === 1 ? 1 : null);
    return size === undefined || where === null ? [] : [{ size, where }];
  });
  await takeBackSeals(tx, machine, fitted, seals.map(({ where }) => where));
  for (const { size, where } of seals) await writeSeal(tx, ids, { machine, group: where }, fitted, size, now);
  await factsFollow(tx, machine, (await groupsOf(tx, machine.id)).map(({ number }) => number));
  for (const [i, text] of (fitted.report.hours ?? []).entries()) if (i < machine.groups) await writeHandle(tx, ids, { machine, group: i + 1 }, fitted, text, now);
};
