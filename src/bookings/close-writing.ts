import type { Pressed, TimerKind } from '../cafe/subject.ts';
import type { Technician } from '../cafe/records.ts';
import type { Answer } from '../chat/incoming.ts';
import { message } from '../chat/message.ts';
import { personId, placeId } from '../chat/who.ts';
import { closeDialogue, openDialogue } from '../store/dialogue.ts';
import type { Ids } from '../store/id.ts';
import type { Store, Tx } from '../store/store.ts';
import { setTimer, stopTimer } from '../store/timers.ts';
import { transact } from '../store/transact.ts';
import { later, minutes, type Instant } from '../time/instant.ts';
import { roundOf, type CloseOut } from './booking-state.ts';
import type { Desk, Done } from './desk.ts';
import { draftOf, type Draft, type Step } from './closing.ts';
import { roundIn, type Pressing } from './pressing.ts';
import { bookingById, bookingOf, changeBooking, technicianById, type BookingRecord } from './records.ts';
import { refresh } from './told.ts';
import { isHeldBy } from './views-technician.ts';

export const WORD = 'booking.word';
export const CLOSING = 'booking.closing';

/** Whoever leaves while writing is finished with what there is after this time. Assumed. */
export const WRITES_FOR = minutes(20);

export type CloseWritingNeeds = {
  readonly ids: Ids;
  readonly store: Store;
  readonly desk: Desk;
  readonly pressing: Pressing;
  /** After a close-out and after each correction of it, in the same transaction. */
  readonly closed: (tx: Tx, row: BookingRecord, now: Instant) => Promise<void>;
};

const plain = (cause: string, more: Partial<CloseOut> = {}): CloseOut => ({ cause, confirmedBy: null, fitted: [], words: null, minutes: null, price: null, defectsLeft: [], shouldHaveBooked: null, adviceWasSafe: null, ...more });

const timerKey = (booking: string): string => `${CLOSING}.${booking}`;

/** What is stored of a close-out: a draft while it is being written, the end of the visit, corrections after it. */
export const createCloseWriting = ({ ids, store, desk, pressing, closed }: CloseWritingNeeds) => {
  const { redrawn, refusal, asTechnician, ofTechnician, say: sayOf } = pressing;

  const minutesHere = (row: BookingRecord, now: Instant): number | null => {
    const { state } = bookingOf(row);
    return state.kind === 'here' ? Math.max(1, Math.round((now - state.since) / 60_000)) : null;
  };

  const putDown = async (tx: Tx, booking: string, place: string | null): Promise<void> => {
    await changeBooking(tx, booking, { draft: null });
    await stopTimer(tx, timerKey(booking));
    if (place !== null) await closeDialogue(tx, placeId(place), WORD);
  };

  const settle = async (tx: Tx, done: Done, place: string | null, now: Instant): Promise<void> => {
    await putDown(tx, done.row.id, place);
    const row = await bookingById(tx, done.row.id);
    if (row && done.applied.kind === 'changed') await closed(tx, row, now);
    if (row) await refresh({ tx, now, row });
  };

  /** The end, or a correction of it. */
  const give = (pressed: Pressed, make: (before: CloseOut | null, draft: Draft | null, row: BookingRecord) => CloseOut | undefined): Promise<Done | undefined> =>
    asTechnician(
      pressed,
      (_tx, row, entry) => {
        const booking = bookingOf(row);
        const before = booking.state.kind === 'finished' ? booking.state.closeOut : null;
        const closeOut = make(before, draftOf(row), row);
        return closeOut && { kind: before === null ? 'finished' : 'correct close-out', technician: entry.id, round: roundOf(booking), closeOut };
      },
      (tx, done) => settle(tx, done, pressed.at, pressed.now),
    );

  const write = async (tx: Tx, row: BookingRecord, draft: Draft, entry: Technician, pressed: Pressed): Promise<void> => {
    await changeBooking(tx, row.id, { draft: JSON.stringify(draft) });
    if (draft.cause !== null && bookingOf(row).state.kind !== 'finished') await setTimer(tx, ids, pressed.now, { key: timerKey(row.id), cafe: row.cafe, kind: CLOSING, ref: row.id, at: later(pressed.now, WRITES_FOR) });
    await openDialogue(tx, ids, pressed.now, pressed.at, personId(entry.person ?? pressed.by.id), { kind: WORD, ref: `${row.id} ${pressed.now}`, cafe: row.cafe });
    const after = await bookingById(tx, row.id);
    if (after) await refresh({ tx, now: pressed.now, row: after, pressedOn: pressed.shown?.key });
  };

  const isMine = (row: BookingRecord, entry: Technician): boolean => {
    const booking = bookingOf(row);
    return isHeldBy(booking, entry.id) !== undefined || (booking.state.kind === 'finished' && booking.state.technician === entry.id);
  };

  const show = (step: Step) => async (pressed: Pressed): Promise<Answer> => {
    const done = await ofTechnician(pressed, async (tx, row, entry) => {
      if (!isMine(row, entry) || roundIn(pressed) !== roundOf(bookingOf(row))) return false;
      await write(tx, row, { step, cause: draftOf(row)?.cause ?? null, fitted: draftOf(row)?.fitted ?? [] }, entry, pressed);
      return true;
    });
    return done === true ? redrawn(pressed) : redrawn(pressed, message([sayOf(pressed)('booking.refused.not-asked')]));
  };

  /** Nothing is being written any more; what the visit was before, it is. */
  const undraft = async (pressed: Pressed): Promise<Answer> => {
    await ofTechnician(pressed, async (tx, row, entry) => {
      if (!isMine(row, entry) || roundIn(pressed) !== roundOf(bookingOf(row))) return;
      await putDown(tx, row.id, pressed.at);
      const after = await bookingById(tx, row.id);
      if (after) await refresh({ tx, now: pressed.now, row: after, pressedOn: pressed.shown?.key });
    });
    return redrawn(pressed);
  };

  /** One answer: while finished it corrects, else the next question comes. */
  const answered = (change: (draft: Draft, row: BookingRecord) => Draft, correct: (before: CloseOut, row: BookingRecord) => CloseOut) => async (pressed: Pressed): Promise<Answer> => {
    let note;
    const next = await ofTechnician(pressed, async (tx, row, entry) => {
      if (!isMine(row, entry) || roundIn(pressed) !== roundOf(bookingOf(row))) return 'gone';
      if (bookingOf(row).state.kind === 'finished') return 'correct';
      await write(tx, row, change(draftOf(row) ?? { step: 'what', cause: null, fitted: [] }, row), entry, pressed);
      return 'asked';
    });
    if (next === 'correct') note = refusal(pressed, await give(pressed, (before, _draft, row) => before ? correct(before, row) : undefined));
    if (next === 'gone' || next === undefined) note = message([sayOf(pressed)('booking.refused.not-asked')]);
    return redrawn(pressed, note);
  };

  /** Typed words wait beside the draft until it is known what they were. */
  const doubted = (row: BookingRecord, text: string): Promise<void> =>
    transact(store, [row.cafe], async (tx) => {
      const now = await bookingById(tx, row.id);
      const draft = now && draftOf(now);
      if (draft) await changeBooking(tx, row.id, { draft: JSON.stringify({ ...draft, doubt: text }) });
    });

  /** Those words, taken out once. */
  const undoubted = async (pressed: Pressed): Promise<string | undefined> =>
    ofTechnician(pressed, async (tx, row, entry) => {
      const draft = draftOf(row);
      if (draft?.doubt === undefined || !isMine(row, entry) || roundIn(pressed) !== roundOf(bookingOf(row))) return undefined;
      const { doubt, ...rest } = draft;
      await changeBooking(tx, row.id, { draft: JSON.stringify(rest) });
      return doubt;
    });

  const fromDraft = (draft: Draft | null, row: BookingRecord, now: Instant, words: string | null): CloseOut | undefined =>
    draft?.cause ? plain(draft.cause, { fitted: draft.fitted, words, minutes: minutesHere(row, now) }) : undefined;

  const withWords = (pressed: Pressed, words: string | null): Promise<Done | undefined> =>
    give(pressed, (before, draft, row) => (before ? { ...before, words: words ?? before.words } : fromDraft(draft, row, pressed.now, words)));

  const timer: TimerKind = {
    kind: CLOSING,
    fire: async (tx, { ref }, now) => {
      const row = await bookingById(tx, ref);
      const draft = row && draftOf(row);
      const held = row && row.technician !== null ? isHeldBy(bookingOf(row), row.technician) : undefined;
      const closeOut = row && draft ? fromDraft(draft, row, now, null) : undefined;
      if (!row || !held || !closeOut) return;
      const done = await desk.applyIn(tx, row, { kind: 'finished', technician: held.technician, round: roundOf(bookingOf(row)), closeOut }, now);
      await settle(tx, done, (await technicianById(tx, held.technician))?.place ?? null, now);
    },
  };

  return { give, show, undraft, answered, withWords, doubted, undoubted, timer };
};
