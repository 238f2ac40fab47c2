import type { Here, Pressed, PressRoute } from '../cafe/subject.ts';
import { button, line, message, type Button, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { Move, PartId } from '../parts/ledger.ts';
import { movesOn, putMove, stockOn, vanOf } from '../parts/records.ts';
import type { Ids } from '../store/id.ts';
import type { Store, Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { days, type Instant } from '../time/instant.ts';
import { inTen } from '../words/format.ts';
import { kitForDay, outcomesFor, type PartsBook } from './bring.ts';
import { nextDay } from './day-visits.ts';
import type { Draw } from './draw.ts';
import type { Kit, KitVisit, PartCount } from './kit.ts';
import { entriesOfPerson } from './records.ts';
import { fitted, type Show } from './show.ts';
import { bringText, whatText } from './views-what.ts';

export type LoadNeeds = { readonly store: Store; readonly ids: Ids; readonly draw: Draw; readonly parts: PartsBook; readonly showFor: (here: Here) => Show };

/** Loaded for a day and not used by then is put back within this time, or stays in the van. Assumed. */
const PUT_BACK_WITHIN = days(3);
const LOADED = 'load.';

type Wanted = { readonly kit: Kit; readonly visits: readonly { readonly id: string; readonly cafe: string; readonly cause: string | null; readonly what: string }[] };

/** What was loaded for visits, is still there, and was not put back. */
const leftOver = (moves: readonly Move[], onHand: (part: PartId) => number, now: Instant): readonly PartCount[] => {
  const left = new Map<PartId, number>();
  const gone = new Set(moves.flatMap((move) => (move.kind === 'taken back' ? [move.moveId] : [])));
  for (const move of moves) {
    if (move.kind === 'taken back' || gone.has(move.id) || move.at < now - PUT_BACK_WITHIN) continue;
    const by = move.kind === 'moved in' && move.id.startsWith(LOADED) ? move.count : move.kind === 'fitted' || move.kind === 'moved out' ? -move.count : 0;
    left.set(move.part, Math.max(0, (left.get(move.part) ?? 0) + by));
  }
  return [...left].map(([part, count]) => ({ part, count: Math.min(count, onHand(part)) })).filter(({ count }) => count > 0);
};

/** What to load for the next day's visits, that it is loaded, and that what was not used is put back. */
export const createLoad = ({ store, ids, draw, parts, showFor }: LoadNeeds): readonly PressRoute[] => {
  const vanStock = async (tx: Tx, person: string): Promise<ReadonlyMap<PartId, number>> => new Map([...(await stockOn(tx, vanOf(person)))].map(([part, { onHand }]) => [part, onHand]));

  const wantedOn = async (tx: Tx, here: Here, show: Show): Promise<Wanted> => {
    const { rows, entries } = await nextDay(tx, here);
    const outcomes: KitVisit[] = [];
    const visits = [];
    for (const row of rows) {
      const entry = entries.find(({ id }) => id === row.technician);
      const view = entry && (await draw.viewFor(tx, row, entry, here.now));
      if (!view) continue;
      outcomes.push({ id: row.id, outcomes: outcomesFor(parts, view.handoff.details.causes, view.handed.sizes) });
      const cause = view.handoff.first.likely?.cause.split('+').map((part) => show.say(`faults.cause.${part}.short`)).join(show.say('ask.and')).toLowerCase() ?? null;
      visits.push({ id: row.id, cafe: view.cafe.name, cause, what: whatText(show.say, view.handoff.first.symptom, view.handoff.first.group) });
    }
    return { kit: kitForDay(parts, outcomes, await vanStock(tx, here.by.id)), visits };
  };

  const visitLine = (show: Show, { kit }: Wanted, { id, cafe, cause, what }: Wanted['visits'][number]): string => {
    const { say } = show;
    if (cause === null) return fitted(say('booking.day.unknown', { cafe, what }));
    const chance = inTen(kit.visits.find((each) => each.id === id)?.chance ?? 0);
    return fitted(say('booking.day.likely.chance', { cafe, cause, chance }), say('booking.day.likely', { cafe, cause }));
  };

  const shown = async (tx: Tx, here: Here, note: string | null = null): Promise<Message> => {
    const show = showFor(here);
    const { say } = show;
    const wanted = await wantedOn(tx, here, show);
    const { bring, fromVan } = wanted.kit;
    const moves = await movesOn(tx, vanOf(here.by.id));
    const stock = await vanStock(tx, here.by.id);
    const back = leftOver(moves, (part) => stock.get(part) ?? 0, here.now);
    const first = bring.length > 0 ? say('booking.day.bring', { parts: bringText(show, bring) }) : say(fromVan.length > 0 ? 'booking.day.bring.in-van' : 'booking.day.bring.nothing');
    const inVan = fromVan.length > 0 ? [fitted(say('booking.day.from-van', { parts: bringText(show, fromVan) }))] : [];
    const lines = [...(note === null ? [] : [note]), fitted(first), ...inVan, ...wanted.visits.map((visit) => visitLine(show, wanted, visit))];
    const buttons: readonly Button[] = [
      ...(bring.length > 0 ? [button(say('booking.button.loaded'), press('booking.loaded'), 'main')] : []),
      ...(back.length > 0 ? [button(say('booking.button.put-back'), press('booking.put-back'))] : []), button(say('booking.button.van'), press('booking.van')),
    ];
    return message(lines.slice(0, 4).map((text, i) => (i === 0 ? line(text, 'strong') : line(text))), buttons);
  };

  /** Holds all cafés of the technician, so that two presses at once load once. */
  const holding = async <T>(here: Here, work: (tx: Tx) => Promise<T>): Promise<T> => {
    const entries = await read(store, (tx) => entriesOfPerson(tx, here.by.id));
    return transact(store, entries.map(({ cafe }) => cafe), work);
  };

  const move = async (tx: Tx, here: Here, kind: 'moved in' | 'moved out', all: readonly PartCount[]): Promise<void> => {
    const shelf = vanOf(here.by.id);
    for (const { part, count } of all) await putMove(tx, shelf, { id: `${kind === 'moved in' ? LOADED : 'back.'}${ids(here.now)}`, shelf: shelf.id, at: here.now, kind, part, count }, { id: here.by.id, name: here.by.name });
  };

  const loaded = (pressed: Pressed): Promise<Message> =>
    holding(pressed, async (tx) => {
      const { kit } = await wantedOn(tx, pressed, showFor(pressed));
      await move(tx, pressed, 'moved in', kit.bring);
      return shown(tx, pressed, kit.bring.length === 0 ? null : fitted(showFor(pressed).say('booking.day.loaded', { parts: bringText(showFor(pressed), kit.bring) })));
    });

  const putBack = (pressed: Pressed): Promise<Message> =>
    holding(pressed, async (tx) => {
      const stock = await vanStock(tx, pressed.by.id);
      const back = leftOver(await movesOn(tx, vanOf(pressed.by.id)), (part) => stock.get(part) ?? 0, pressed.now);
      await move(tx, pressed, 'moved out', back);
      return shown(tx, pressed, back.length === 0 ? null : fitted(showFor(pressed).say('booking.day.put-back', { parts: bringText(showFor(pressed), back) })));
    });

  return [
    { kind: 'booking.bring', ack: 'private', right: 'anyone', take: async (pressed) => ({ kind: 'private', message: await read(store, (tx) => shown(tx, pressed)) }) },
    { kind: 'booking.loaded', ack: 'update', right: 'anyone', take: async (pressed) => ({ kind: 'redraw', message: await loaded(pressed) }) },
    { kind: 'booking.put-back', ack: 'update', right: 'anyone', take: async (pressed) => ({ kind: 'redraw', message: await putBack(pressed) }) },
  ];
};
