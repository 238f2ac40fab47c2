import type { DialogueKind, Pressed, PressRoute, Said, TimerKind } from '../cafe/subject.ts';
import type { Technician } from '../cafe/records.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { isDirect, personId, placeId } from '../chat/who.ts';
import { closeDialogue, openDialogue } from '../store/dialogue.ts';
import type { Ids } from '../store/id.ts';
import type { Store, Tx } from '../store/store.ts';
import { setTimer, stopTimer } from '../store/timers.ts';
import { read } from '../store/transact.ts';
import { later, minutes, type Instant } from '../time/instant.ts';
import { shortened } from '../words/format.ts';
import { roundOf, type CloseOut } from './booking-state.ts';
import type { Desk, Done } from './desk.ts';
import { draftOf, type Draft, type Step } from './closing.ts';
import { bookingIn, fieldOf, roundIn, wordsField, type Pressing } from './pressing.ts';
import { bookingById, bookingOf, changeBooking, technicianById, type BookingRecord } from './records.ts';
import { refresh } from './told.ts';
import type { PartCount } from './kit.ts';
import { partsIn, type PartNames } from './part-words.ts';
import { plainly } from './typed.ts';
import { isHeldBy } from './views-technician.ts';

export const WORD = 'booking.word';
export const CLOSING = 'booking.closing';

/** Whoever leaves while writing is finished with what there is after this time. Assumed. */
const WRITES_FOR = minutes(20);
/** Longest word for the café: it has two lines in their message. */
const MOST_WORDS = 110;

export type CloseOutNeeds = {
  readonly ids: Ids;
  readonly store: Store;
  readonly desk: Desk;
  /** What parts are called, so that a written one is the same as a pressed one. */
  readonly namesFor: (locale: string) => PartNames;
  /** Cause of the catalogue that goes by this name; undefined: words of their own. */
  readonly causeNamed: (locale: string, text: string) => string | undefined;
  readonly pressing: Pressing;
  /** After a close-out and after each correction of it, in the same transaction. */
  readonly closed: (tx: Tx, row: BookingRecord, now: Instant) => Promise<void>;
};

const plain = (cause: string, more: Partial<CloseOut> = {}): CloseOut => ({ cause, confirmedBy: null, fitted: [], words: null, minutes: null, price: null, defectsLeft: [], shouldHaveBooked: null, adviceWasSafe: null, ...more });

const timerKey = (booking: string): string => `${CLOSING}.${booking}`;

/** Writing what was found: three questions, each one press, all but the first may be left out. */
export const createCloseOut = ({ ids, store, desk, pressing, closed, namesFor, causeNamed }: CloseOutNeeds) => {
  const { redrawn, refusal, byTechnician, asTechnician, ofTechnician, form, technician, say: sayOf } = pressing;

  const minutesHere = (row: BookingRecord, now: Instant): number | null => {
    const { state } = bookingOf(row);
    return state.kind === 'here' ? Math.max(1, Math.round((now - state.since) / 60_000)) : null;
  };

  const settle = async (tx: Tx, done: Done, place: string | null, now: Instant): Promise<void> => {
    await changeBooking(tx, done.row.id, { draft: null });
    await stopTimer(tx, timerKey(done.row.id));
    if (place !== null) await closeDialogue(tx, placeId(place), WORD);
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
    if (isDirect(pressed.at)) await openDialogue(tx, ids, pressed.now, pressed.at, personId(entry.person ?? pressed.by.id), { kind: WORD, ref: `${row.id} ${pressed.now}`, cafe: row.cafe });
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

  const was = (cause: (pressed: Pressed) => string) => (pressed: Pressed) => answered((draft) => ({ ...draft, step: 'fitted', cause: cause(pressed) }), (before) => ({ ...before, cause: cause(pressed) }))(pressed);

  const groupOf = (row: BookingRecord, part: string, group: number | null): number | null => (part.startsWith('seal-') && row.case_id !== null ? group : null);

  /** Parts of the book by name or words of their own, in the order of writing. */
  const written = (pressed: Pressed): readonly PartCount[] => {
    const { parts, unread } = partsIn(fieldOf(pressed, 'text', 80), namesFor(pressed.locale));
    return [...parts.filter(({ count }) => count > 0), ...unread.map((part) => ({ part, count: 1 }))].slice(0, 6);
  };

  const withParts = async (pressed: Pressed, parts: readonly PartCount[]): Promise<Answer> => {
    const group = await read(store, async (tx) => {
      const row = await bookingById(tx, bookingIn(pressed));
      return row?.case_id ? ((await tx.selectFrom('fault_case').select('group_number').where('id', '=', row.case_id).executeTakeFirst())?.group_number ?? null) : null;
    });
    const all = (row: BookingRecord): CloseOut['fitted'] => parts.map(({ part, count }) => ({ part, count, group: groupOf(row, part, group) }));
    return answered((draft, row) => ({ ...draft, step: 'words', fitted: all(row) }), (before, row) => ({ ...before, fitted: all(row) }))(pressed);
  };

  const fromDraft = (draft: Draft | null, row: BookingRecord, now: Instant, words: string | null): CloseOut | undefined =>
    draft?.cause ? plain(draft.cause, { fitted: draft.fitted, words, minutes: minutesHere(row, now) }) : undefined;

  const withWords = (pressed: Pressed, words: string | null): Promise<Done | undefined> =>
    give(pressed, (before, draft, row) => (before ? { ...before, words: words ?? before.words } : fromDraft(draft, row, pressed.now, words)));

  const askCorrection = async (pressed: Pressed): Promise<Answer> => {
    const say = sayOf(pressed);
    const to = (kind: string, text: string) => button(say(text), press(kind, ...pressed.press.ids.slice(0, 2)));
    return { kind: 'private', message: message([say('booking.correct.ask')], [to('booking.redo-what', 'booking.button.redo-what'), to('booking.redo-fitted', 'booking.button.redo-fitted'), to('booking.redo-words', 'booking.button.redo-words')]) };
  };

  /** Asked from a message of its own; the answer is given on the booking's message. */
  const redo = (step: Step) => async (pressed: Pressed): Promise<Answer> => {
    await show(step)(pressed);
    return { kind: 'redraw', message: message([sayOf(pressed)('booking.correct.above')]) };
  };

  const presses: readonly PressRoute[] = [
    technician('booking.finish', show('what')),
    technician('booking.was', was((pressed) => pressed.press.ids[2] ?? '')),
    technician('booking.what', form('booking.what-said', 'booking.form.what', wordsField('text', 'booking.form.what-ask', 60)), 'form'),
    technician('booking.what-said', was((pressed) => fieldOf(pressed, 'text', 60))),
    technician('booking.with', (pressed) => withParts(pressed, pressed.press.ids[2] === '-' ? [] : pressed.press.ids.slice(2).map((part) => ({ part, count: 1 })))),
    technician('booking.fitted', form('booking.fitted-said', 'booking.form.fitted', wordsField('text', 'booking.form.fitted-ask', 80)), 'form'),
    technician('booking.fitted-said', (pressed) => withParts(pressed, written(pressed))),
    technician('booking.words', form('booking.words-said', 'booking.form.words', wordsField('text', 'booking.form.words-ask', MOST_WORDS, { long: true })), 'form'),
    technician('booking.words-said', async (pressed) => redrawn(pressed, refusal(pressed, await withWords(pressed, fieldOf(pressed, 'text', MOST_WORDS))))),
    technician('booking.enough', async (pressed) => redrawn(pressed, refusal(pressed, await withWords(pressed, null)))),
    technician('booking.correct', askCorrection, 'private'),
    technician('booking.redo-what', redo('what')),
    technician('booking.redo-fitted', redo('fitted')),
    technician('booking.redo-words', redo('words')),
  ];

  const isOneOf = (said: Said, key: string): boolean => sayOf(said)(key).split('|').includes(plainly(said.text));

  /** What is typed answers the question on show; the next one comes below it. */
  const typed = async (said: Said, row: BookingRecord, draft: Draft | null): Promise<Answer | undefined> => {
    const pressed: Pressed = { ...said, press: press(WORD, row.id, String(roundOf(bookingOf(row)))), picked: [], pickedNames: {}, answers: { text: [said.text] }, attachments: [] };
    if (draft?.step === 'what') return was(() => causeNamed(said.locale, said.text) ?? fieldOf(pressed, 'text', 60))(pressed);
    if (draft?.step === 'fitted') return withParts(pressed, isOneOf(said, 'booking.words.nothing') ? [] : written(pressed));
    const done = await withWords(pressed, isOneOf(said, 'booking.words.skip') ? null : shortened(said.text.replace(/\s+/g, ' '), MOST_WORDS));
    return done ? { kind: 'noted' } : undefined;
  };

  /** Answers are typed straight into the chat and taken as they stand, soon after the question: later on, words are about something else. */
  const dialogue: DialogueKind = {
    kind: WORD,
    verbatim: () => true,
    take: async (said, { ref }) => {
      const [id = '', askedAt = ''] = ref.split(' ');
      const row = await read(store, (tx) => bookingById(tx, id));
      if (said.text === '' || !row || said.now > Number(askedAt) + WRITES_FOR) return undefined;
      return typed(said, row, draftOf(row));
    },
    again: async () => undefined,
  };

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

  return { presses, dialogue, timer, give, byTechnician };
};

export type CloseOuts = ReturnType<typeof createCloseOut>;
