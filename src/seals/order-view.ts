import { button, line, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { SealOrderRow } from '../store/tables/seals.ts';
import { instant } from '../time/instant.ts';
import { listed, millimetres, shortDate, shortened } from '../words/format.ts';
import type { Show } from './look-views.ts';

/** `renewed`: new seals are in meanwhile; `counted`: the café tells what lies on its shelf. */
export type OrderState = { readonly renewed: boolean; readonly counted: boolean };

type House = { readonly id: string; readonly name: string };

const kindOf = ({ size_mm, shim_mm, only_shim }: SealOrderRow): string => `${only_shim === 1 ? 'ready' : size_mm} ${shim_mm}`;

/** "2 of 8 mm, with a 0.5 mm shim each, for groups 1 and 2", a line for each seal and shim. */
const sizeLines = ({ say, reader }: Show, rows: readonly SealOrderRow[]): readonly string[] =>
  [...new Set(rows.map(kindOf))].flatMap((kind) => {
    const of = rows.filter((row) => kindOf(row) === kind);
    const [first] = of;
    if (!first) return [];
    const groups = listed(of.map(({ group_number }) => String(group_number)), reader.locale);
    const values = { count: of.length, groups, size: first.size_mm === null ? '' : millimetres(first.size_mm, reader.locale), shim: first.shim_mm === null ? 'none' : millimetres(first.shim_mm, reader.locale) };
    return first.only_shim === 1 ? say('seal.order.shim', values) : first.size_mm === null ? say('seal.order.unknown', values) : say('seal.order.size', values);
  });

/** How many seals and shims in all. */
const firstLine = ({ say }: Show, cafe: House, rows: readonly SealOrderRow[]): string => {
  const seals = rows.filter(({ only_shim }) => only_shim === 0).length;
  const shims = rows.filter(({ shim_mm }) => shim_mm !== null).length;
  return say('seal.order.first', { cafe: shortened(cafe.name, 24), seals, shims, both: seals > 0 && shims > 0 ? 'yes' : 'no' });
};

/** What to order for which groups, by when it is wanted; answered, who did what. */
export const orderMessage = (show: Show, cafe: House, rows: readonly SealOrderRow[], { renewed, counted }: OrderState): Message => {
  const { say, reader } = show;
  const sizes = sizeLines(show, rows).slice(0, 2);
  const [first] = rows;
  if (!first) return message([say('chat.tooOld')]);
  if (renewed) return message([say('seal.order.renewed')]);
  const due = shortDate(instant(Math.min(...rows.map(({ due_at }) => due_at))), reader);
  const to = (what: string, main = false) => button(say(`seal.order.button.${what}`), press('seal.order', cafe.id, what), main ? 'main' : 'plain');
  if (first.state === 'asked') return message([line(firstLine(show, cafe, rows), 'strong'), ...sizes, say('seal.order.due', { date: due })], [to('ordered', true), to('have'), to('later')]);
  const when = shortDate(instant(first.at), reader);
  const told = say(`seal.order.told.${first.state}`, { name: first.by_name ?? '', date: when });
  const hint = first.state === 'have' && !counted && first.size_mm !== null ? [say('seal.order.count', { size: millimetres(first.size_mm, reader.locale).replace(/\D*$/, '') })] : [];
  return message([told, ...sizes, ...hint], ...(first.state === 'later' ? [[to('ordered', true), to('have')]] : []));
};
