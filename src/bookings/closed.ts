import { caseById } from '../faults/records.ts';
import type { Tx } from '../store/store.ts';
import { instant, type Instant } from '../time/instant.ts';
import type { CloseOut } from './booking-state.ts';
import { bookingOf, technicianById, type BookingRecord } from './records.ts';
import { readReport, type Report } from './report.ts';

/** What a technician fitted at a visit. `id` is the visit's; the same id again replaces what was told before. */
export type Fitted = {
  readonly id: string;
  readonly cafe: string;
  readonly machine: string | null;
  readonly group: number | null;
  readonly parts: CloseOut['fitted'];
  readonly cause: string;
  /** The fault was a leak at the rim. */
  readonly leaked: boolean;
  /** Clock hour of each handle, readings, next date: as written at the end. */
  readonly report: Report;
  readonly by: string;
  /** Whoever fitted it, as the chat knows them; null once unlinked. */
  readonly person: string | null;
  readonly at: Instant;
};

/** What it was, for learning. `caseId` null: no questions came before. `cause` is one of the catalogue's, or written words. */
export type Finding = {
  readonly id: string;
  readonly cafe: string;
  readonly caseId: string | null;
  readonly cause: string;
  readonly confirmedBy: string | null;
  readonly shouldHaveBooked: CloseOut['shouldHaveBooked'];
  readonly adviceWasSafe: boolean | null;
  readonly at: Instant;
};

export type Closed = { readonly onFitted: (tx: Tx, fitted: Fitted, now: Instant) => Promise<void>; readonly onFinding: (tx: Tx, finding: Finding, now: Instant) => Promise<void> };

const LEAK = 'leak-at-rim';

/** Tells the records of a close-out, and of each correction of it. */
export const closedFor = ({ onFitted, onFinding }: Closed) => async (tx: Tx, row: BookingRecord, now: Instant): Promise<void> => {
  const booking = bookingOf(row);
  const { state } = booking;
  if (state.kind !== 'finished') return;
  const id = `${row.id}.${booking.reopened.length}`;
  const at = instant(state.since);
  const aCase = row.case_id === null ? undefined : await caseById(tx, row.case_id);
  const { closeOut } = state;
  const technician = await technicianById(tx, state.technician);
  await onFitted(tx, { id, cafe: row.cafe, machine: row.machine, group: aCase?.group_number ?? null, parts: closeOut.fitted, cause: closeOut.cause, leaked: aCase?.symptom === LEAK, report: readReport(row.report), by: technician?.name ?? '', person: technician?.person ?? null, at }, now);
  await onFinding(tx, { id, cafe: row.cafe, caseId: row.case_id, cause: closeOut.cause, confirmedBy: closeOut.confirmedBy, shouldHaveBooked: closeOut.shouldHaveBooked, adviceWasSafe: closeOut.adviceWasSafe, at }, now);
};
