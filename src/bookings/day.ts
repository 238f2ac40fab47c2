import { readMachineFacts } from '../cafe/machine-facts.ts';
import { cafeById, type Technician } from '../cafe/records.ts';
import { mayIn } from '../cafe/rights.ts';
import type { CommandRoute, Here, Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message, type Button, type Message } from '../chat/message.ts';
import type { Store, Tx } from '../store/store.ts';
import { read } from '../store/transact.ts';
import { instant, later, minutes, type Instant } from '../time/instant.ts';
import { dateAt } from '../time/wall-time.ts';
import type { Words } from '../words/catalogue.ts';
import { clockTime, listed } from '../words/format.ts';
import { kitForDay, outcomesFor, type PartsBook } from './bring.ts';
import { hoursOf, spotOf } from './desks.ts';
import type { Draw } from './draw.ts';
import type { KitVisit } from './kit.ts';
import { assumedVisit } from './offers.ts';
import { bookingById, bookingsWith, entriesOfPerson, openBookings, technicianById, type BookingRecord } from './records.ts';
import { routeOf, type Stop } from './route.ts';
import { fitted, type Show } from './show.ts';
import { byNeed } from './sorted.ts';
import { dayMessage, toolButton, type DayVisit } from './views-day.ts';
import { bringText, whatText } from './views-what.ts';

export type DayNeeds = {
  readonly store: Store;
  readonly words: Words;
  readonly draw: Draw;
  readonly parts: PartsBook;
  /** Rows of buttons below the visits: linking, order of call, services. */
  readonly tools: (tx: Tx, here: Here, cafes: readonly string[], show: Show) => Promise<readonly (readonly Button[])[]>;
};

/** How late an arrival may be and still keep its promise. Assumed. */
const PROMISED_WITHIN = minutes(30);

/** The visits of a technician, or of a café: in order, with what to bring for all of them and the best order. */
export const createDay = ({ store, words, draw, parts, tools }: DayNeeds): { readonly presses: readonly PressRoute[]; readonly commands: readonly CommandRoute[] } => {
  const plainShow = (here: Here): Show => ({ say: words.in(here.locale), reader: { locale: words.nearest(here.locale), zone: 'UTC' }, now: here.now });

  const visitOf = async (tx: Tx, row: BookingRecord, here: Here, entries: readonly Technician[]): Promise<DayVisit | undefined> => {
    const cafe = await cafeById(tx, row.cafe);
    if (!cafe) return undefined;
    const show = draw.showFor(cafe, here.now, here.locale);
    const mine = entries.find(({ id }) => id === row.technician);
    const reader = mine ?? (row.technician === null ? undefined : await technicianById(tx, row.technician));
    const view = reader && (await draw.viewFor(tx, row, reader, here.now));
    const what = view ? whatText(show.say, view.handoff.first.symptom, view.handoff.first.group) : show.say(`booking.about.${row.about.replaceAll(' ', '-')}`);
    return { id: row.id, show, cafe: cafe.name, address: mine ? (view?.handoff.visit?.address ?? null) : null, what, state: row.state, startsAt: row.starts_at, mine: mine !== undefined };
  };

  /** A technician's own visits; else those of the cafés this person belongs to. */
  const rowsFor = async (tx: Tx, here: Here, cafes: readonly string[]): Promise<{ readonly rows: readonly BookingRecord[]; readonly entries: readonly Technician[] }> => {
    const entries = await entriesOfPerson(tx, here.by.id);
    const mine = await bookingsWith(tx, entries.map(({ id }) => id));
    const theirs = await Promise.all(cafes.map(async (cafe) => ((await mayIn(tx, cafe, here.by, 'answer')) ? openBookings(tx, cafe) : [])));
    return { rows: byNeed([...new Map([...mine, ...theirs.flat()].map((row) => [row.id, row])).values()]), entries };
  };

  const show = (here: Here, cafes: readonly string[], page: number): Promise<Message> =>
    read(store, async (tx) => {
      const { rows, entries } = await rowsFor(tx, here, cafes);
      const visits = (await Promise.all(rows.map((row) => visitOf(tx, row, here, entries)))).filter((visit) => visit !== undefined);
      const plain = plainShow(here);
      const agreed = visits.filter(({ mine, startsAt }) => mine && startsAt !== null);
      const day = agreed.length > 0 ? [[toolButton(plain, 'booking.button.bring', 'booking.bring'), ...(agreed.length > 1 ? [toolButton(plain, 'booking.button.order', 'booking.best-order')] : [])]] : [];
      return dayMessage(plain, visits, page, [...day, ...(await tools(tx, here, cafes, plain))].slice(0, visits.length > 3 ? 3 : 4));
    });

  /** Visits of the coming day on which there are any, each with its facts. */
  const dayOf = async (tx: Tx, here: Here) => {
    const entries = await entriesOfPerson(tx, here.by.id);
    const agreed = (await bookingsWith(tx, entries.map(({ id }) => id))).filter(({ starts_at, state }) => starts_at !== null && state !== 'here').toSorted((a, b) => (a.starts_at ?? 0) - (b.starts_at ?? 0));
    const first = agreed[0] && (await cafeById(tx, agreed[0].cafe));
    const zone = entries[0]?.zone ?? first?.zone ?? 'UTC';
    const date = agreed[0]?.starts_at == null ? undefined : dateAt(instant(agreed[0].starts_at), zone);
    const rows = agreed.filter(({ starts_at }) => starts_at !== null && dateAt(instant(starts_at), zone) === date);
    return { rows, entries, zone };
  };

  const bring = (pressed: Pressed): Promise<Answer> =>
    read(store, async (tx) => {
      const { rows, entries } = await dayOf(tx, pressed);
      const plain = plainShow(pressed);
      const visits: KitVisit[] = [];
      const likely: string[] = [];
      for (const row of rows) {
        const entry = entries.find(({ id }) => id === row.technician);
        const view = entry && (await draw.viewFor(tx, row, entry, pressed.now));
        if (!view) continue;
        const facts = view.handed.machine ? readMachineFacts(view.handed.machine.facts) : {};
        visits.push({ id: row.id, outcomes: outcomesFor(parts, view.handoff.details.causes, facts.seal ?? null) });
        const cause = view.handoff.first.likely;
        if (cause) likely.push(fitted(plain.say('booking.day.likely', { cafe: view.cafe.name, cause: cause.cause.split('+').map((part) => plain.say(`faults.cause.${part}.short`)).join(plain.say('ask.and')).toLowerCase() })));
      }
      const kit = kitForDay(parts, visits);
      return { kind: 'private', message: message([kit.length > 0 ? fitted(plain.say('booking.day.bring', { parts: bringText(plain, kit) })) : plain.say('booking.day.bring.nothing'), ...likely.slice(0, 3)]) };
    });

  const stopOf = async (tx: Tx, row: BookingRecord): Promise<Stop | undefined> => {
    const place = await spotOf(tx, row.cafe);
    if (place === null || row.starts_at === null) return undefined;
    const start = instant(row.starts_at);
    return { id: row.id, place, promised: { start, end: later(start, PROMISED_WITHIN) }, lengthMs: row.ends_at === null ? assumedVisit : row.ends_at - row.starts_at, danger: row.level === 'danger' };
  };

  const leaveAt = (rows: readonly BookingRecord[], now: Instant): Instant => {
    const first = Math.min(...rows.map(({ starts_at }) => starts_at ?? Number.POSITIVE_INFINITY));
    return Number.isFinite(first) ? later(instant(Math.max(now, first - minutes(90))), 0) : now;
  };

  /** The shortest way that keeps every promise; where none does, which visit would be late and by how much. */
  const order = (pressed: Pressed): Promise<Answer> =>
    read(store, async (tx) => {
      const plain = plainShow(pressed);
      const { rows, zone } = await dayOf(tx, pressed);
      const from = (await hoursOf(tx, pressed.by.id)).from;
      const stops = await Promise.all(rows.map((row) => stopOf(tx, row)));
      const known = stops.filter((stop) => stop !== undefined);
      if (from === null || known.length < rows.length || rows.length < 2) return { kind: 'private', message: message([plain.say(rows.length < 2 ? 'booking.order.one' : from === null ? 'booking.order.no-start' : 'booking.order.no-place')]) };
      const route = routeOf({ from, leaveAt: leaveAt(rows, pressed.now), stops: known, to: null });
      if (route.kind === 'too many stops') return { kind: 'private', message: message([plain.say('booking.order.too-many')]) };
      const reader = { locale: plain.reader.locale, zone };
      const named = await Promise.all(route.stops.map(async (stop) => ({ stop, cafe: await cafeById(tx, rows.find(({ id }) => id === stop.id)?.cafe ?? '') })));
      const names = named.map(({ stop, cafe }) => `${clockTime(stop.begin, reader)} ${cafe?.name ?? ''}`);
      const late = named.filter(({ stop }) => stop.lateMs > 0).map(({ stop, cafe }) => plain.say('booking.order.late', { cafe: cafe?.name ?? '', minutes: Math.ceil(stop.lateMs / 60_000) }));
      return { kind: 'private', message: message([fitted(plain.say('booking.order', { stops: listed(names, plain.reader.locale) }), names.join(', ')), plain.say('booking.order.km', { km: Math.round(route.km) }), ...late.slice(0, 2)]) };
    });

  /** One visit, as its technician has it or as its café sees it. */
  const open = async (pressed: Pressed): Promise<Answer> => {
    const id = pressed.picked[0] ?? '';
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
    commands: [{ name: 'visits', take: async (command) => ({ kind: 'private', message: await show(command, command.cafes, 0) }) }],
    presses: [
      { kind: 'booking.visits', ack: 'update', right: 'anyone', take: async (pressed) => ({ kind: 'redraw', message: await show(pressed, await cafesOf(pressed), Number(pressed.press.ids[0]) || 0) }) },
      { kind: 'booking.open', ack: 'private', right: 'anyone', take: open },
      { kind: 'booking.bring', ack: 'private', right: 'anyone', take: bring },
      { kind: 'booking.best-order', ack: 'private', right: 'anyone', take: order },
    ],
  };
};
