import { cafeById, type Technician } from '../cafe/records.ts';
import { mayIn } from '../cafe/rights.ts';
import type { Pressed, PressRoute, Said, WordsRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message, type Button, type Message } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import { isDirect } from '../chat/who.ts';
import type { Store, Tx } from '../store/store.ts';
import { read } from '../store/transact.ts';
import type { Words } from '../words/catalogue.ts';
import { roundOf, type Booking } from './booking-state.ts';
import type { PartNames } from './part-words.ts';
import { bookingOf, bookingsWith, entriesOfPerson } from './records.ts';
import { roadsOf } from './roads.ts';
import { label } from './show.ts';
import { NOTE, TECHNICIAN, type TechnicianTold } from './told.ts';
import { isOfVisit, meantBy, type Meant } from './typed-meaning.ts';
import { isHeldBy } from './views-technician.ts';

export type TypedNeeds = { readonly store: Store; readonly words: Words; readonly presses: () => readonly PressRoute[]; readonly namesFor: (locale: string) => PartNames };

/** A visit that is this technician's to speak of. */
export type Visit = { readonly booking: Booking; readonly technician: string; readonly cafe: string };

/** Buttons of one row of a message. */
const MOST_VISITS = 5;
/** Said to nobody in particular these words are meant for the bot; others may be for the people there. */
const PLAIN: readonly Meant['kind'][] = ['booking.way', 'booking.here', 'booking.finish', 'booking.late-by'];
/** Of visits begun rather than of those to come. */
const AT_THE_MACHINE: readonly Meant['kind'][] = ['booking.finish', 'booking.part', 'booking.part-said', 'booking.part-is'];
const BEGUN: readonly Booking['state']['kind'][] = ['here', 'on the way', 'waiting for a part'];

/** Does the bot write to this technician there, or the café live there? Then their words are listened to as well. */
const speaksAt = async (tx: Tx, entry: Technician, { at }: Pick<Said, 'at'>): Promise<boolean> =>
  isDirect(at) || entry.place === at || (await cafeById(tx, entry.cafe))?.place === at || (await roadsOf(tx, entry.id)).some(({ place }) => place === at);

/** The visits this person can mean at this place; those of one reply alone. `bar`: they answer lists here too, so that only a reply counts. */
export const visitsOf = async (tx: Tx, said: Said): Promise<{ readonly visits: readonly Visit[]; readonly technician: boolean; readonly bar: boolean }> => {
  const all = await entriesOfPerson(tx, said.by.id);
  const entries = [];
  for (const entry of all) if (await speaksAt(tx, entry, said)) entries.push(entry);
  const replied = said.reply?.kind === TECHNICIAN || said.reply?.kind === NOTE ? (said.reply.data as TechnicianTold) : undefined;
  const rows = await bookingsWith(tx, entries.map(({ id }) => id));
  const visits = [];
  for (const row of rows) {
    const booking = bookingOf(row);
    const technician = row.technician ?? '';
    const theirs = isHeldBy(booking, technician) !== undefined || (booking.state.kind === 'asked' && booking.state.technician === technician);
    if (theirs && (replied === undefined || (replied.booking === row.id && replied.round === roundOf(booking)))) visits.push({ booking, technician, cafe: (await cafeById(tx, row.cafe))?.name ?? '' });
  }
  let bar = false;
  for (const { cafe } of all) bar ||= await mayIn(tx, cafe, said.by, 'answer');
  return { visits, technician: entries.length > 0, bar };
};

/** One button for each visit, by the name of its café. */
export const visitButtons = (visits: readonly Visit[], pressFor: (visit: Visit) => Press): readonly Button[] => visits.slice(0, MOST_VISITS).map((visit) => button(label(visit.cafe), pressFor(visit)));

const idsOf = ({ booking }: Visit): readonly [string, string] => [booking.id, String(roundOf(booking))];

const asPressed = (said: Said, { kind, ids, text }: Meant, visit: Visit): Pressed => {
  const { reply: _, ...here } = said;
  return { ...here, press: press(kind, ...idsOf(visit), ...ids), picked: [], pickedNames: {}, attachments: [], answers: text === '' ? {} : { text: [text] } };
};

/** A technician with hands full: words typed to the bot do what the buttons of their visit do. */
export const createTyped = ({ store, words, presses, namesFor }: TypedNeeds): readonly WordsRoute[] => {
  /** The button that stands for the words where one has to be pressed. */
  const pressFor = ({ kind, ids, text }: Meant, visit: Visit) => {
    const own = idsOf(visit);
    if (kind === 'booking.part-said' || kind === 'booking.part-is') return press('booking.part-is', ...own, text);
    return press(kind, ...own, ...(kind === 'booking.time' ? ['t'] : ids));
  };

  const which = (said: Said, all: readonly { readonly visit: Visit; readonly meant: Meant }[]): Message =>
    message([words.in(said.locale)('booking.typed.which')], all.slice(0, MOST_VISITS).map(({ visit, meant }) => button(label(visit.cafe), pressFor(meant, visit))));

  /** What has to be asked before anything is done. */
  const asked = (said: Said, meant: Meant, visit: Visit): Message | undefined => {
    const say = words.in(said.locale);
    switch (meant.kind) {
      case 'booking.part-is':
        return message([say('booking.typed.part', { part: meant.text })], [button(say('booking.typed.part.yes'), pressFor(meant, visit)), button(say('booking.typed.part.no'), press('booking.part-not', ...idsOf(visit)))]);
      case 'booking.part':
        return message([say('booking.typed.which-part')], [button(say('booking.button.part'), pressFor(meant, visit))]);
      case 'booking.time':
        return message([say('booking.typed.when')], [button(say('booking.button.other-time'), pressFor(meant, visit))]);
      default:
        return undefined;
    }
  };

  const answerOf = (said: Said, { kind }: Meant, answer: Answer): Answer => {
    if (answer.kind === 'form' || answer.kind === 'say') return answer;
    if ('private' in answer && answer.private) return { kind: 'say', message: answer.private };
    if (kind === 'booking.cannot' || kind === 'booking.part-said' || kind === 'booking.way' || kind === 'booking.here') return { kind: 'say', message: message([words.in(said.locale)('booking.said.done')]) };
    return answer.kind === 'noted' ? answer : { kind: 'say', message: answer.message };
  };

  const act = async (said: Said, meant: Meant, visit: Visit): Promise<Answer | undefined> => {
    const question = asked(said, meant, visit);
    if (question) return { kind: 'say', message: question };
    const route = presses().find(({ kind }) => kind === meant.kind);
    return route && answerOf(said, meant, await route.take(asPressed(said, meant, visit)));
  };

  const typed: WordsRoute = {
    name: 'booking.typed', order: 18,
    take: async (said) => {
      if (said.text === '' || !said.readable) return undefined;
      const { visits, technician, bar } = await read(store, (tx) => visitsOf(tx, said));
      const replied = said.reply?.kind === TECHNICIAN || said.reply?.kind === NOTE;
      if (!technician || (bar && !replied) || (said.reply && !replied)) return undefined;
      const say = words.in(said.locale);
      const all = visits.flatMap((visit) => {
        const meant = meantBy(say, said.text, visit.booking.state, namesFor(said.locale));
        return meant && (said.addressed || isDirect(said.at) || PLAIN.includes(meant.kind)) ? [{ visit, meant }] : [];
      });
      const begun = all.filter(({ visit, meant }) => AT_THE_MACHINE.includes(meant.kind) && BEGUN.includes(visit.booking.state.kind));
      const those = begun.length > 0 ? begun : all;
      const [only] = those;
      if (only) return those.length > 1 ? { kind: 'say', message: which(said, those) } : act(said, only.meant, only.visit);
      if (replied || bar || !said.addressed || !isOfVisit(say, said.text)) return undefined;
      return { kind: 'say', message: message([say(visits.length === 0 ? 'booking.visits.none' : 'booking.typed.lost')]) };
    },
  };

  /** Whoever only visits has nothing else to say here: how to go on, instead of "that is for the bar". */
  const rest: WordsRoute = {
    name: 'booking.typed.rest', order: 61,
    take: async (said) => {
      if (said.text === '' || !said.readable || said.reply || !isDirect(said.at)) return undefined;
      const { technician, bar } = await read(store, (tx) => visitsOf(tx, said));
      return technician && !bar ? { kind: 'say', message: message([words.in(said.locale)('booking.typed.lost')]) } : undefined;
    },
  };

  return [typed, rest];
};
