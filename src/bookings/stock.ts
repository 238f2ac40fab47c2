import { cafeById } from '../cafe/records.ts';
import { mayIn } from '../cafe/rights.ts';
import type { Here, PressRoute, Said, WordsRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, line, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { MoveKind, Stock } from '../parts/ledger.ts';
import { cafeShelf, putMove, stockOn, vanOf, type Shelf } from '../parts/records.ts';
import type { Ids } from '../store/id.ts';
import type { Store, Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import type { Say, Words } from '../words/catalogue.ts';
import { inLines, LINE_WIDTH } from '../words/format.ts';
import type { PartsBook } from './bring.ts';
import type { PartCount } from './kit.ts';
import { partsIn, type PartNames } from './part-words.ts';
import { entriesOfPerson } from './records.ts';
import { fitted } from './show.ts';
import { stockIn, type StockSaid } from './stock-words.ts';
import { stockText } from './views-what.ts';

type Place = { readonly shelf: Shelf; readonly cafes: readonly string[]; readonly cafe: string | null };

/** What comes to a place was on its way to it, where anything was. */
const KINDS: Readonly<Record<'counted' | 'in' | 'out', MoveKind>> = { counted: 'counted', in: 'delivered', out: 'moved out' };

/** A shim whose height was not said. */
const SHIM = 'shim';

/** A line after which more would follow. */
const cutShort = (text: string): string => `${text.slice(0, LINE_WIDTH - 2)} …`;

export type StockNeeds = { readonly store: Store; readonly words: Words; readonly ids: Ids; readonly parts: PartsBook; readonly namesFor: (locale: string) => PartNames };

/** What lies in a technician's van and on a café's shelf, told and asked in words. */
export const createStock = ({ store, words, ids, parts, namesFor }: StockNeeds): { readonly presses: readonly PressRoute[]; readonly words: readonly WordsRoute[] } => {
  /** The van of a linked technician; the shelf of the café somebody of it writes in. */
  const placeOf = async (tx: Tx, here: Here, of: StockSaid['of'], cafes: readonly string[]): Promise<Place | undefined> => {
    if (of === 'van') {
      const entries = await entriesOfPerson(tx, here.by.id);
      return entries.length === 0 ? undefined : { shelf: vanOf(here.by.id), cafes: entries.map(({ cafe }) => cafe), cafe: null };
    }
    for (const id of cafes) if (await mayIn(tx, id, here.by, 'answer')) return { shelf: cafeShelf(id), cafes: [id], cafe: (await cafeById(tx, id))?.name ?? '' };
    return undefined;
  };

  const shown = (say: Say, locale: string, stock: ReadonlyMap<string, Stock>, { cafe }: Place, unread: readonly string[] = [], whichShim = false): Message => {
    const there = [...stock].flatMap(([part, { onHand }]): readonly PartCount[] => (onHand > 0 ? [{ part, count: onHand }] : []));
    const text = stockText({ say, reader: { locale, zone: 'UTC' } }, there);
    const all = stock.size === 0 ? say(cafe === null ? 'booking.van.unknown' : 'booking.shelf.unknown') : cafe === null ? say('booking.van.holds', { parts: text }) : say('booking.shelf.holds', { cafe, parts: text });
    const unsure = [...stock].filter(([, one]) => one.unsure).map(([part]) => ({ part, count: 1 }));
    const doubt = unsure.length > 0 ? [fitted(say('booking.stock.unsure', { parts: stockText({ say, reader: { locale, zone: 'UTC' } }, unsure) }))] : [];
    const missed = unread.length > 0 ? [fitted(say('booking.stock.unread', { text: unread.join(', ') }))] : [];
    const [of = ''] = say(cafe === null ? 'booking.words.van' : 'booking.words.shelf').split('|');
    const how = whichShim ? [say('booking.stock.which-shim', { of })] : stock.size === 0 ? [say(cafe === null ? 'booking.van.how' : 'booking.shelf.how')] : [];
    const usual = stock.size === 0 && cafe === null ? [[button(say('booking.button.van-usual'), press('booking.van-usual'))]] : [];
    // What was not understood is never what is cut.
    const beside = [...doubt, ...missed, ...how];
    const held = inLines(all);
    const room = 4 - beside.length;
    const lines = [...held.slice(0, room - 1), ...(held.length > room ? [cutShort(held[room - 1] ?? '')] : held.slice(room - 1, room)), ...beside];
    return message(lines.map((each, i) => (i === 0 ? line(each, 'strong') : line(each))), ...usual);
  };

  const write = async (tx: Tx, { shelf }: Place, kind: MoveKind, all: readonly PartCount[], here: Here): Promise<void> => {
    const put = (what: MoveKind, { part, count }: PartCount) => putMove(tx, shelf, { id: ids(here.now), shelf: shelf.id, at: here.now, kind: what, part, count }, { id: here.by.id, name: here.by.name });
    const before = await stockOn(tx, shelf);
    for (const one of all) {
      const { onHand = 0, onOrder = 0 } = before.get(one.part) ?? {};
      // More than lay there: what was on its way has come.
      const came = kind === 'counted' ? Math.min(onOrder, one.count - onHand) : 0;
      if (came > 0) await put('delivered', { part: one.part, count: came });
      if (one.count > 0 || kind === 'counted') await put(kind, one);
    }
  };

  const told = async (here: Here, { of, kind, rest }: StockSaid, cafes: readonly string[]): Promise<Message | undefined> => {
    const say = words.in(here.locale);
    const locale = words.nearest(here.locale);
    const place = await read(store, (tx) => placeOf(tx, here, of, cafes));
    if (!place) return undefined;
    if (kind === 'show') return read(store, async (tx) => shown(say, locale, await stockOn(tx, place.shelf), place));
    const found = partsIn(rest, namesFor(locale));
    return transact(store, place.cafes, async (tx) => {
      // A shim of a height nobody knows cannot be counted on for a seal: it is asked for, not written.
      const known = found.parts.filter(({ part }) => part !== SHIM);
      await write(tx, place, KINDS[kind], known, here);
      return shown(say, locale, await stockOn(tx, place.shelf), place, found.unread, known.length < found.parts.length);
    });
  };

  /** The usual van as a first count, of whatever is not counted yet. */
  const usual = async (here: Here): Promise<Message | undefined> => {
    const place = await read(store, (tx) => placeOf(tx, here, 'van', []));
    if (!place) return undefined;
    return transact(store, place.cafes, async (tx) => {
      const before = await stockOn(tx, place.shelf);
      await write(tx, place, 'counted', Object.entries(parts.van).filter(([part]) => !before.has(part)).map(([part, count]) => ({ part, count })), here);
      return shown(words.in(here.locale), words.nearest(here.locale), await stockOn(tx, place.shelf), place);
    });
  };

  const take = async (said: Said, plain: boolean): Promise<Answer | undefined> => {
    const say = words.in(said.locale);
    const found = said.readable ? stockIn(said.text, say) : undefined;
    if (!found || (plain && partsIn(found.rest, namesFor(said.locale)).unread.length > 0)) return undefined;
    const answer = await told(said, found, said.cafes);
    return answer && { kind: 'say', message: answer };
  };

  return {
    presses: [
      { kind: 'booking.van', ack: 'private', right: 'anyone', take: async (pressed) => ({ kind: 'private', message: (await told(pressed, { of: 'van', kind: 'show', rest: '' }, [])) ?? message([words.in(pressed.locale)('chat.techniciansOnly')]) }) },
      { kind: 'booking.van-usual', ack: 'update', right: 'anyone', take: async (pressed) => ({ kind: 'redraw', message: (await usual(pressed)) ?? message([words.in(pressed.locale)('chat.techniciansOnly')]) }) },
    ],
    // A list of parts and nothing else is no danger, whatever its parts are called; with a word beside them danger looks first.
    words: [{ name: 'booking.parts', order: 9, take: (said) => take(said, true) }, { name: 'booking.stock', order: 15, take: (said) => take(said, false) }],
  };
};
