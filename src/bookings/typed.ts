import type { Pressed, PressRoute, Said, WordsRoute } from '../cafe/subject.ts';
import { mayIn } from '../cafe/rights.ts';
import type { Answer } from '../chat/incoming.ts';
import { message } from '../chat/message.ts';
import { isDirect } from '../chat/who.ts';
import { press } from '../chat/press.ts';
import type { Store } from '../store/store.ts';
import { read } from '../store/transact.ts';
import type { Say, Words } from '../words/catalogue.ts';
import { isHeldBy } from './views-technician.ts';
import { roundOf, type Booking } from './booking-state.ts';
import { bookingOf, bookingsWith, entriesOfPerson } from './records.ts';

/** A button of a visit that typed words stand for: its kind, what it carries beside visit and round, and what is written in its form. */
export type Meant = { readonly kind: 'booking.finish' | 'booking.late' | 'booking.late-by' | 'booking.cannot' | 'booking.off' | 'booking.part-said'; readonly ids: readonly string[]; readonly text: string };

/** Words of a message as they are compared: small letters, plain apostrophes, nothing but words between. */
export const plainly = (text: string): string => text.toLowerCase().replaceAll('’', "'").replace(/[^\p{L}\p{N}' ]+/gu, ' ').replace(/\s+/g, ' ').trim();

/** Delays that are believed, in minutes. */
const LONGEST = 600;

const minutesIn = (text: string): number | undefined => {
  const found = /(\d{1,3})\s*(h|hours?|or[ae])?\b/.exec(text);
  const minutes = found ? Number(found[1]) * (found[2] === undefined ? 1 : 60) : 0;
  return minutes >= 1 && minutes <= LONGEST ? minutes : undefined;
};

const listed = (say: Say, key: string): readonly string[] => say(key).split('|');

/** What a technician means who types instead of pressing; undefined: nothing of this visit. */
export const meantBy = (say: Say, typed: string, state: Booking['state']): Meant | undefined => {
  const text = plainly(typed);
  const isOne = (key: string): boolean => listed(say, key).includes(text);
  const working = state.kind === 'here' || state.kind === 'on the way' || state.kind === 'waiting for a part';
  if (working && isOne('booking.words.finished')) return { kind: 'booking.finish', ids: [], text: '' };
  if (isOne('booking.words.cannot')) return state.kind === 'asked' ? { kind: 'booking.cannot', ids: [], text: '' } : { kind: 'booking.off', ids: ['t'], text: '' };
  if ((state.kind === 'time agreed' || state.kind === 'on the way') && listed(say, 'booking.words.late').some((word) => ` ${text} `.includes(` ${word} `))) {
    const minutes = minutesIn(text);
    return minutes === undefined ? { kind: 'booking.late', ids: [], text: '' } : { kind: 'booking.late-by', ids: [String(minutes)], text: '' };
  }
  const before = working ? listed(say, 'booking.words.part').find((start) => text.startsWith(`${start} `)) : undefined;
  const part = before === undefined ? '' : text.slice(before.length + 1).replace(new RegExp(`^(?:${say('booking.words.article')}) `, 'u'), '');
  return part === '' || part.split(' ').length > 4 || listed(say, 'booking.words.part.any').includes(part) ? undefined : { kind: 'booking.part-said', ids: [], text: part };
};

export type TypedNeeds = { readonly store: Store; readonly words: Words; readonly presses: () => readonly PressRoute[] };

const asPressed = (said: Said, { kind, ids, text }: Meant, booking: string, round: number): Pressed => ({
  ...said, press: press(kind, booking, String(round), ...ids), picked: [], pickedNames: {}, attachments: [], answers: text === '' ? {} : { text: [text] },
});

/** A technician with hands full: words typed to the bot do what the buttons of their one open visit do. */
export const createTyped = ({ store, words, presses }: TypedNeeds): WordsRoute => {
  /** Several visits: a reply to one of them says which; this is for the one it can only be. Whoever is of the bar too answers lists. */
  const onlyOne = (said: Said) =>
    read(store, async (tx) => {
      const entries = await entriesOfPerson(tx, said.by.id);
      const open = await bookingsWith(tx, entries.map(({ id }) => id));
      const [row] = open;
      if (!row || open.length > 1 || row.technician === null || (await mayIn(tx, row.cafe, said.by, 'answer'))) return undefined;
      const booking = bookingOf(row);
      const asked = booking.state.kind === 'asked' && booking.state.technician === row.technician;
      return asked || isHeldBy(booking, row.technician) ? booking : undefined;
    });

  const answerOf = (said: Said, { kind }: Meant, answer: Answer): Answer => {
    if (answer.kind === 'form' || answer.kind === 'say') return answer;
    if ('private' in answer && answer.private) return { kind: 'say', message: answer.private };
    if (kind === 'booking.cannot' || kind === 'booking.part-said') return { kind: 'say', message: message([words.in(said.locale)('booking.said.done')]) };
    return answer.kind === 'noted' ? answer : { kind: 'say', message: answer.message };
  };

  return {
    name: 'booking.typed', order: 18,
    take: async (said) => {
      if (said.reply || said.text === '' || !said.readable || !isDirect(said.at)) return undefined;
      const booking = await onlyOne(said);
      const meant = booking && meantBy(words.in(said.locale), said.text, booking.state);
      const route = meant && presses().find(({ kind }) => kind === meant.kind);
      return booking && meant && route && answerOf(said, meant, await route.take(asPressed(said, meant, booking.id, roundOf(booking))));
    },
  };
};
