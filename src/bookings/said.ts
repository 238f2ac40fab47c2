import { cafeById } from '../cafe/records.ts';
import type { Said, WordsRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { isDirect } from '../chat/who.ts';
import type { Store } from '../store/store.ts';
import { read } from '../store/transact.ts';
import type { Words } from '../words/catalogue.ts';
import { dayWords } from './arrange.ts';
import type { BookingEvent } from './booking-event.ts';
import { roundOf } from './booking-state.ts';
import { mayDecide } from './deciding.ts';
import type { Desk } from './desk.ts';
import { assumedVisit } from './offers.ts';
import { bookingById, bookingOf, elsewhereOf, entriesOfPerson, openBookings } from './records.ts';
import { CAFE, NOTE, TECHNICIAN, type CafeTold, type TechnicianTold } from './told.ts';
import { isTooFar, readTime, type TimeWords } from './time-words.ts';
import { visitButtons, visitsOf, type Visit } from './typed.ts';
import { plainly } from './typed-meaning.ts';

/** A longer message that happens to hold a time is about something else. */
const MOST_WORDS = 10;
/** States in which a time is waited for. */
const WITHOUT_TIME: readonly string[] = ['asked', 'taken', 'waiting for a part'];

/**
 * What somebody answers a booking's message with, in words: a time, from either side, and "on my way" or "I'm here"
 * from its technician. Anything else is left to the others.
 */
export const createSaid = ({ store, words, desk }: { readonly store: Store; readonly words: Words; readonly desk: Desk }): readonly WordsRoute[] => {
  const isOneOf = (said: Said, key: string): boolean => words.in(said.locale)(key).split('|').includes(plainly(said.text));

  const timeIn = async (said: Said, booking: string): Promise<TimeWords> =>
    read(store, async (tx) => {
      const row = await bookingById(tx, booking);
      const zone = row && (await cafeById(tx, row.cafe))?.zone;
      return zone === undefined ? { kind: 'no time' } : readTime(said.text, said.now, zone, dayWords(words.in(said.locale)), assumedVisit);
    });

  const answered = async (said: Said, booking: string, event: Parameters<Desk['change']>[3], from: 'cafe' | 'technician' = 'technician'): Promise<Answer | undefined> => {
    const done = await desk.change(booking, said.now, { on: undefined, ...(from === 'cafe' ? { cafe: said.by } : {}) }, event);
    if (!done) return undefined;
    const say = words.in(said.locale);
    if (done.applied.kind === 'refused') return { kind: 'say', message: message([say(`booking.refused.${done.applied.why.replaceAll(' ', '-')}`)]) };
    return { kind: 'say', message: message([say(done.applied.kind === 'already' ? 'booking.said.already' : 'booking.said.done')]) };
  };

  const fromTechnician = async (said: Said, { booking, technician, round }: TechnicianTold): Promise<Answer | undefined> => {
    const entries = await read(store, (tx) => entriesOfPerson(tx, said.by.id));
    if (!entries.some(({ id }) => id === technician)) return undefined;
    const plain = (kind: 'on my way' | 'here'): BookingEvent => ({ kind, technician, round });
    if (isOneOf(said, 'booking.words.way')) return answered(said, booking, async () => plain('on my way'));
    if (isOneOf(said, 'booking.words.here')) return answered(said, booking, async () => plain('here'));
    const time = await timeIn(said, booking);
    if (time.kind !== 'time' || isTooFar(time.span, said.now)) return undefined;
    return answered(said, booking, async (tx) => ({ kind: 'technician offers time', technician, round, span: time.span, elsewhere: await elsewhereOf(tx, technician, booking) }));
  };

  const fromCafe = async (said: Said, { booking }: Pick<CafeTold, 'booking'>): Promise<Answer | undefined> => {
    const time = await timeIn(said, booking);
    if (time.kind !== 'time' || isTooFar(time.span, said.now)) return undefined;
    return answered(said, booking, async (tx, row) => ((await mayDecide(tx, row.cafe, said, row.case_id)) ? { kind: 'cafe offers time', round: roundOf(bookingOf(row)), span: time.span } : undefined), 'cafe');
  };

  const toldOf = ({ booking, technician }: Visit): TechnicianTold => ({ booking: booking.id, technician, round: roundOf(booking) });

  /** A time that may be meant for several visits: which one is asked, and named anew there. */
  const whichVisit = async (said: Said, visits: readonly Visit[]): Promise<Answer | undefined> => {
    const time = await timeIn(said, visits[0]?.booking.id ?? '');
    if (time.kind !== 'time' || isTooFar(time.span, said.now)) return undefined;
    return { kind: 'say', message: message([words.in(said.locale)('booking.typed.which')], visitButtons(visits, ({ booking }) => press('booking.time', booking.id, String(roundOf(booking)), 't'))) };
  };

  const replied: WordsRoute = {
    name: 'booking.said', order: 30,
    take: async (said) => {
      if (said.text === '' || !said.readable) return undefined;
      if (said.reply?.kind === TECHNICIAN || said.reply?.kind === NOTE) return fromTechnician(said, said.reply.data as TechnicianTold);
      return said.reply?.kind === CAFE ? fromCafe(said, said.reply.data as CafeTold) : undefined;
    },
  };
  /** The one visit that still wants a time, where somebody of its café names one without answering a message. */
  const cafesOwn = async (said: Said): Promise<Answer | undefined> => {
    const open = await read(store, async (tx) => (await Promise.all(said.cafes.map((cafe) => openBookings(tx, cafe)))).flat());
    const [only] = open;
    return only && open.length === 1 && WITHOUT_TIME.includes(only.state) ? fromCafe(said, { booking: only.id }) : undefined;
  };

  const unaddressed: WordsRoute = {
    name: 'booking.said.directly', order: 60,
    take: async (said) => {
      if (said.reply || said.text === '' || !said.readable || said.text.split(/\s+/).length > MOST_WORDS || !(isDirect(said.at) || said.addressed)) return undefined;
      const { visits, bar } = await read(store, (tx) => visitsOf(tx, said));
      const [only] = visits;
      if (!only) return cafesOwn(said);
      if (bar && !isDirect(said.at)) return undefined;
      return visits.length > 1 ? whichVisit(said, visits) : fromTechnician(said, toldOf(only));
    },
  };
  return [replied, unaddressed];
};
