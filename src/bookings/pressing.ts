import { cafeById, type Technician } from '../cafe/records.ts';
import type { Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message, type Form, type Message, type Question } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import type { Store, Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { days } from '../time/instant.ts';
import type { Words } from '../words/catalogue.ts';
import { shortened } from '../words/format.ts';
import type { BookingEvent } from './booking-event.ts';
import { mayDecide } from './deciding.ts';
import type { Desk, Done } from './desk.ts';
import type { Draw } from './draw.ts';
import { bookingById, bookingOf, entriesOfPerson, type BookingRecord } from './records.ts';
import type { Show } from './show.ts';

export type PressingNeeds = { readonly store: Store; readonly words: Words; readonly desk: Desk; readonly draw: Draw };

/** Within this time it was never cured; later it has come back. Assumed. */
const SOON_AFTER = days(2);

type Maybe<T> = T | undefined;
export type ByTechnician = (tx: Tx, row: BookingRecord, entry: Technician) => Promise<Maybe<BookingEvent>> | Maybe<BookingEvent>;
export type ByCafe = (tx: Tx, row: BookingRecord) => Promise<Maybe<BookingEvent>> | Maybe<BookingEvent>;

export const bookingIn = ({ press: { ids } }: Pick<Pressed, 'press'>): string => ids[0] ?? '';
export const roundIn = ({ press: { ids } }: Pick<Pressed, 'press'>): number => Number(ids[1] ?? 0);
export const cafeOfBooking = async (tx: Tx, given: Press): Promise<string | undefined> => (await bookingById(tx, given.ids[0] ?? ''))?.cafe;

/** What was written in a field of a form, on one line; empty when nothing was. */
export const fieldOf = (pressed: Pressed, key = 'text', most = 200): string => shortened((pressed.answers[key]?.[0] ?? '').replace(/\s+/g, ' ').trim(), most);

/** This person's entry as a technician of the café the booking is of; undefined for everybody else, and once unlinked. */
export const entryOf = async (tx: Tx, row: Pick<BookingRecord, 'cafe'>, pressed: Pick<Pressed, 'by'>): Promise<Maybe<Technician>> => (await entriesOfPerson(tx, pressed.by.id)).find(({ cafe }) => cafe === row.cafe);

/** What every press on a booking has in common: who acts, what is refused, and how the message looks afterwards. */
export const createPressing = ({ store, words, desk, draw }: PressingNeeds) => {
  const ownMessage = async (pressed: Pressed): Promise<Maybe<Message>> => {
    const entry = await read(store, async (tx) => {
      const row = await bookingById(tx, bookingIn(pressed));
      return row && entryOf(tx, row, pressed);
    });
    return entry && draw.technician(bookingIn(pressed), entry.id, pressed.now, pressed.locale);
  };

  /** The message pressed on as it is now; `note` is for the presser alone. */
  const redrawn = async (pressed: Pressed, note?: Message): Promise<Answer> => {
    const { shown } = pressed;
    const kind = draw.notices.find((each) => each.kind === shown?.kind);
    const drawn = kind && shown && (await kind.show({ data: shown.data, cafe: shown.cafe, place: pressed.at, now: pressed.now }));
    const mine = drawn ?? (await ownMessage(pressed)) ?? (await draw.standing(bookingIn(pressed), pressed));
    const version = shown && (await read(store, (tx) => tx.selectFrom('outbox').select('version').where('key', '=', shown.key).executeTakeFirst()));
    const more = note ? { private: note } : {};
    if (!mine) return { kind: 'noted', ...more };
    // Files were sent with the message; an edit would send them twice.
    const { files: _files, ...text } = mine;
    return { kind: 'redraw', message: text, ...(shown && version ? { shows: { key: shown.key, version: version.version } } : {}), ...more };
  };

  const refusal = (pressed: Pressed, done: Maybe<Done>): Maybe<Message> => {
    const say = words.in(pressed.locale);
    if (!done) return message([say('chat.tooOld')]);
    return done.applied.kind === 'refused' ? message([say(`booking.refused.${done.applied.why.replaceAll(' ', '-')}`)]) : undefined;
  };

  const asTechnician = (pressed: Pressed, make: ByTechnician, after?: (tx: Tx, done: Done) => Promise<void>): Promise<Maybe<Done>> =>
    desk.change(bookingIn(pressed), pressed.now, { on: pressed.shown?.key }, async (tx, row) => {
      const entry = await entryOf(tx, row, pressed);
      return entry && make(tx, row, entry);
    }, after);

  const byTechnician = async (pressed: Pressed, make: ByTechnician, after?: (tx: Tx, done: Done) => Promise<void>): Promise<Answer> => redrawn(pressed, refusal(pressed, await asTechnician(pressed, make, after)));

  const asCafe = async (pressed: Pressed, make: ByCafe): Promise<{ readonly done: Maybe<Done>; readonly may: boolean }> => {
    let may = true;
    const done = await desk.change(bookingIn(pressed), pressed.now, { on: pressed.shown?.key, cafe: pressed.by }, async (tx, row) => {
      may = await mayDecide(tx, row.cafe, pressed, row.case_id);
      return may ? make(tx, row) : undefined;
    });
    return { done, may };
  };

  const ownersOnly = (pressed: Pressed): Message => message([words.in(pressed.locale)('chat.ownersOnly')]);

  const byCafe = async (pressed: Pressed, make: ByCafe): Promise<Answer> => {
    const { done, may } = await asCafe(pressed, make);
    return redrawn(pressed, may ? refusal(pressed, done) : ownersOnly(pressed));
  };

  /** Something about a booking that is no event of it, in one transaction with its café held. Undefined: gone, or not the presser's. */
  const ofTechnician = async <T>(pressed: Pressed, work: (tx: Tx, row: BookingRecord, entry: Technician) => Promise<T>): Promise<Maybe<T>> => {
    const home = (await read(store, (tx) => bookingById(tx, bookingIn(pressed))))?.cafe;
    if (home === undefined) return undefined;
    return transact(store, [home], async (tx) => {
      const row = await bookingById(tx, bookingIn(pressed));
      const entry = row && (await entryOf(tx, row, pressed));
      return row && entry ? work(tx, row, entry) : undefined;
    });
  };

  /** The fault goes on or has come back: whoever is at the bar sees that. */
  const notCured = (pressed: Pressed): Promise<Maybe<Done>> =>
    desk.change(bookingIn(pressed), pressed.now, { on: pressed.shown?.key, cafe: pressed.by }, async (_tx, row) => {
      const { state } = bookingOf(row);
      return { kind: 'reopen', why: 'since' in state && pressed.now - state.since > SOON_AFTER ? 'came back' : 'not cured', round: roundIn(pressed) };
    });

  const showOf = async (tx: Tx, row: Pick<BookingRecord, 'cafe'>, pressed: Pressed): Promise<Maybe<Show>> => {
    const cafe = await cafeById(tx, row.cafe);
    return cafe && draw.showFor(cafe, pressed.now, pressed.locale);
  };

  /** A form whose answers go to `submit` with the ids of the press. */
  const form = (submit: string, title: string, ...questions: readonly [Question, ...Question[]]) => async (pressed: Pressed): Promise<Answer> => {
    const say = words.in(pressed.locale);
    const [first, ...rest] = questions.map((question) => ({ ...question, label: say(question.label), ...(question.hint === undefined ? {} : { hint: say(question.hint) }) }));
    if (!first) throw new Error(`a form without questions: ${submit}`);
    return { kind: 'form', form: { title: say(title), submit: press(submit, ...pressed.press.ids), questions: [first, ...rest] } satisfies Form };
  };

  const technician = (kind: string, take: PressRoute['take'], ack: PressRoute['ack'] = 'update'): PressRoute => ({ kind, ack, right: 'visit', cafe: cafeOfBooking, take });
  const cafe = (kind: string, take: PressRoute['take'], ack: PressRoute['ack'] = 'update'): PressRoute => ({ kind, ack, right: 'answer', cafe: cafeOfBooking, take });

  /** Both sides have this button. Which side it is stands in its third id, and is held against who presses. */
  const either = (kind: string, take: PressRoute['take'], ack: PressRoute['ack'] = 'update'): PressRoute => ({
    kind, ack, right: 'see', cafe: cafeOfBooking,
    take: async (pressed) => {
      const technicians = pressed.press.ids[2] === 't';
      const may = await read(store, async (tx) => {
        const row = await bookingById(tx, bookingIn(pressed));
        if (!row) return false;
        return technicians ? (await entryOf(tx, row, pressed)) !== undefined : mayDecide(tx, row.cafe, pressed, row.case_id);
      });
      return may ? take(pressed) : { kind: 'private', message: message([words.in(pressed.locale)(technicians ? 'chat.techniciansOnly' : 'chat.ownersOnly')]) };
    },
  });

  return { redrawn, refusal, notCured, asTechnician, byTechnician, asCafe, byCafe, ofTechnician, showOf, form, technician, cafe, either, say: (pressed: Pick<Pressed, 'locale'>) => words.in(pressed.locale) };
};

export type Pressing = ReturnType<typeof createPressing>;
export const wordsField = (key: string, label: string, most: number, more: { readonly hint?: string; readonly optional?: true; readonly long?: true } = {}): Question => {
  const { long, ...rest } = more;
  return { key, label, ...rest, answer: { kind: 'words', most, ...(long ? { long } : {}) } };
};
