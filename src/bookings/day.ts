import { cafeById, cafesAt, type Technician } from '../cafe/records.ts';
import { informed, type ReadRequest } from '../cafe/requests.ts';
import { mayIn } from '../cafe/rights.ts';
import type { CommandRoute, Here, Pressed, PressRoute, WordsRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message, type Button, type Message } from '../chat/message.ts';
import type { Ids } from '../store/id.ts';
import type { Store, Tx } from '../store/store.ts';
import { read } from '../store/transact.ts';
import type { Words } from '../words/catalogue.ts';
import { createBestOrder } from './best-order.ts';
import type { PartsBook } from './bring.ts';
import type { Draw } from './draw.ts';
import { createLoad } from './load.ts';
import { bookingById, bookingsWith, entriesOfPerson, openBookings, technicianById, type BookingRecord } from './records.ts';
import { fitted, type Show } from './show.ts';
import { byNeed } from './sorted.ts';
import { dayMessage, toolButton, walkMessage, type DayVisit } from './views-day.ts';
import { causeText, whatText } from './views-what.ts';

export type DayNeeds = {
  readonly store: Store;
  readonly words: Words;
  readonly ids: Ids;
  readonly draw: Draw;
  readonly parts: PartsBook;
  readonly requests: ReadRequest;
  /** Rows of buttons below the visits: linking, order of call, services. */
  readonly tools: (tx: Tx, here: Here, cafes: readonly string[], show: Show) => Promise<readonly (readonly Button[])[]>;
};

/** The visits of a technician, or of a café: in order, with what to bring for all of them and the best order. */
export const createDay = ({ store, words, ids, draw, parts, requests, tools }: DayNeeds): { readonly presses: readonly PressRoute[]; readonly commands: readonly CommandRoute[]; readonly words: readonly WordsRoute[] } => {
  const plainShow = (here: Here): Show => ({ say: words.in(here.locale), reader: { locale: words.nearest(here.locale), zone: 'UTC' }, now: here.now });

  const visitOf = async (tx: Tx, row: BookingRecord, here: Here, entries: readonly Technician[]): Promise<DayVisit | undefined> => {
    const cafe = await cafeById(tx, row.cafe);
    if (!cafe) return undefined;
    const show = draw.showFor(cafe, here.now, here.locale);
    const mine = entries.find(({ id }) => id === row.technician);
    const reader = mine ?? (row.technician === null ? undefined : await technicianById(tx, row.technician));
    const view = reader && (await draw.viewFor(tx, row, reader, here.now));
    const what = view ? whatText(show.say, view.handoff.first.symptom, view.handoff.first.group) : show.say(`booking.about.${row.about.replaceAll(' ', '-')}`);
    const cause = mine ? (view?.handoff.first.likely?.cause ?? null) : null;
    const likely = cause === null ? null : fitted(show.say('booking.day.it-is', { cause: causeText(show.say, cause, '.short').toLowerCase() }));
    const contact = mine && view?.handoff.visit?.contact ? fitted(show.say('booking.contact', view.handoff.visit.contact)) : null;
    return { id: row.id, show, likely, contact, cafe: cafe.name, address: mine ? (view?.handoff.visit?.address ?? null) : null, what, state: row.state, startsAt: row.starts_at, mine: mine !== undefined };
  };

  /** A technician's own visits; else those of the cafés this person belongs to. */
  const rowsFor = async (tx: Tx, here: Here, cafes: readonly string[], shared = false): Promise<{ readonly rows: readonly BookingRecord[]; readonly entries: readonly Technician[] }> => {
    const entries = shared ? [] : await entriesOfPerson(tx, here.by.id);
    const mine = await bookingsWith(tx, entries.map(({ id }) => id));
    const theirs = await Promise.all(cafes.map(async (cafe) => ((await mayIn(tx, cafe, here.by, shared ? 'see' : 'answer')) ? openBookings(tx, cafe) : [])));
    return { rows: byNeed([...new Map([...mine, ...theirs.flat()].map((row) => [row.id, row])).values()]), entries };
  };

  const dayTools = (plain: Show, agreed: number): readonly Button[] => [
    ...(agreed > 0 ? [toolButton(plain, 'booking.button.bring', 'booking.bring')] : []),
    ...(agreed > 1 ? [toolButton(plain, 'booking.button.order', 'booking.best-order')] : []),
  ];

  /** A technician's own visits one after the other, each with all that fits beside it. */
  const walk = (pressed: Pressed): Promise<Message> =>
    read(store, async (tx) => {
      const { rows, entries } = await rowsFor(tx, pressed, []);
      const visits = (await Promise.all(rows.map((row) => visitOf(tx, row, pressed, entries)))).filter((visit) => visit !== undefined);
      const plain = plainShow(pressed);
      return walkMessage(plain, visits, Number(pressed.press.ids[0]) || 0, dayTools(plain, visits.filter(({ startsAt }) => startsAt !== null).length));
    });

  /** `shared`: others read it too, so that only the café's own visits are shown, as the café sees them. */
  const show = (here: Here, cafes: readonly string[], page: number, shared = false): Promise<Message> =>
    read(store, async (tx) => {
      const { rows, entries } = await rowsFor(tx, here, cafes, shared);
      const visits = (await Promise.all(rows.map((row) => visitOf(tx, row, here, entries)))).filter((visit) => visit !== undefined);
      const plain = plainShow(here);
      const agreed = visits.filter(({ mine, startsAt }) => mine && startsAt !== null);
      const oneByOne = visits.length > 1 && visits.every(({ mine }) => mine) ? [toolButton(plain, 'booking.button.one-by-one', 'booking.walk', '0')] : [];
      const row = [...oneByOne, ...dayTools(plain, agreed.length)];
      const day = row.length > 0 ? [row] : [];
      return dayMessage(plain, visits, page, [...day, ...(shared ? [] : await tools(tx, here, cafes, plain))].slice(0, visits.length > 3 ? 3 : 4));
    });

  /** One visit, as its technician has it or as its café sees it. */
  const open = async (pressed: Pressed): Promise<Answer> => {
    const id = pressed.picked[0] ?? pressed.press.ids[0] ?? '';
    const entry = await read(store, async (tx) => {
      const row = await bookingById(tx, id);
      return row && (await entriesOfPerson(tx, pressed.by.id)).find(({ cafe }) => cafe === row.cafe);
    });
    if (entry) {
      const shown = await draw.technician(id, entry.id, pressed.now, pressed.locale);
      if (shown) return { kind: 'private', message: shown };
    }
    const shown = await draw.standing(id, pressed);
    return { kind: 'private', message: shown ?? message([words.in(pressed.locale)('chat.barOnly')]) };
  };

  const cafesOf = (pressed: Pressed): Promise<readonly string[]> =>
    read(store, async (tx) => {
      const member = await tx.selectFrom('member').select('cafe').where('person', '=', pressed.by.id).execute();
      const here = await tx.selectFrom('cafe').select('id').where('place', '=', pressed.at).execute();
      return [...new Set([...here.map(({ id }) => id), ...member.map(({ cafe }) => cafe)])];
    });

  return {
    words: informed('booking.asked', 'visits', requests, async (said) => {
      if (said.cafes.length === 0) return undefined;
      const shared = await read(store, async (tx) => (await cafesAt(tx, said.at)).length > 0);
      return { kind: 'say', message: await show(said, said.cafes, 0, shared) };
    }),
    commands: [{ name: 'visits', take: async (command) => ({ kind: 'private', message: await show(command, command.cafes, 0) }) }],
    presses: [
      { kind: 'booking.visits', ack: 'update', right: 'anyone', take: async (pressed) => ({ kind: 'redraw', message: await show(pressed, await cafesOf(pressed), Number(pressed.press.ids[0]) || 0) }) },
      { kind: 'booking.walk', ack: 'update', right: 'anyone', take: async (pressed) => ({ kind: 'redraw', message: await walk(pressed) }) },
      { kind: 'booking.open', ack: 'private', right: 'anyone', take: open },
      ...createLoad({ store, ids, draw, parts, showFor: plainShow }), createBestOrder(store, plainShow),
    ],
  };
};
