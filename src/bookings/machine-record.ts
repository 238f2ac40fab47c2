import { readMachineFacts } from '../cafe/machine-facts.ts';
import { groupsOf, type Cafe, type Machine } from '../cafe/records.ts';
import { hourOfDegrees } from '../seals/clock-hour.ts';
import { fittingIn, NOT_READ, recordOf } from '../seals/records.ts';
import type { Tx } from '../store/store.ts';
import { instant, type Instant } from '../time/instant.ts';
import { hardnessIn } from '../water/hardness-words.ts';
import { nothingRecorded, type MachineRecord } from './handing.ts';
import { bookingOf, finishedAt, type BookingRecord } from './records.ts';
import { readReport } from './report.ts';

/** `5:30` of a decimal hour. */
const hourText = (hour: number): string => {
  const minutes = Math.round(hour * 60);
  return `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}`;
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
      group: number, sizeMm: seal?.size_mm ?? facts.seal ?? null, shimMm: (seal ? seal.shim_mm : facts.shim) ?? null, sideUp: seal?.side_up ?? null, screen: fittingIn(record, number, 'screen')?.fixing ?? facts.screen ?? null,
      fittedAt: seal?.fitted_at == null ? null : instant(seal.fitted_at), handleHour: handle === undefined ? null : hourText(hourOfDegrees(Number(handle.value))),
    };
  });
  const visits = readingsOfVisits(await finishedAt(tx, machine.id));
  // What the café knows of its water is what its technician or its own strip read last.
  return { ...nothingRecorded, seals, ...visits, hardness: hardnessIn(facts.hardness ?? '') ?? visits.hardness };
};
