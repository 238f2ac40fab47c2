import { button, line, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { SealOrderRow } from '../store/tables/seals.ts';
import { instant } from '../time/instant.ts';
import { listed, millimetres, shortDate, shortened } from '../words/format.ts';
import type { Show } from './look-views.ts';

/** `renewed`: new seals are in meanwhile; `counted`: the café tells what lies on its shelf. */
export type OrderState = { readonly renewed: boolean; readonly counted: boolean };

type House = { readonly id: string; readonly name: string };

/** "2 seals, 8 mm: groups 1 and 2", a line a size. */
const sizeLines = ({ say, reader }: Show, rows: readonly SealOrderRow[]): readonly string[] => {
  const sizes = [...new Set(rows.map(({ size_mm }) => size_mm))];
  return sizes.map((size) => {
    const of = rows.filter(({ size_mm }) => size_mm === size);
    const groups = listed(of.map(({ group_number }) => String(group_number)), reader.locale);
    return size === null ? say('seal.order.unknown', { count: of.length, groups }) : say('seal.order.size', { count: of.length, size: millimetres(size, reader.locale), groups });
  });
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
  if (first.state === 'asked') return message([line(say('seal.order.first', { cafe: shortened(cafe.name, 24), count: rows.length }), 'strong'), ...sizes, say('seal.order.due', { date: due })], [to('ordered', true), to('have'), to('later')]);
  const when = shortDate(instant(first.at), reader);
  const told = say(`seal.order.told.${first.state}`, { name: first.by_name ?? '', date: when });
  const hint = first.state === 'have' && !counted && first.size_mm !== null ? [say('seal.order.count', { size: millimetres(first.size_mm, reader.locale).replace(/\D*$/, '') })] : [];
  return message([told, ...sizes, ...hint], ...(first.state === 'later' ? [[to('ordered', true), to('have')]] : []));
};
