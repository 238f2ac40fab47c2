import { button, line, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { listed, money } from '../words/format.ts';
import { dayText, fitted, label, stretchText, type Show } from './show.ts';
import type { Span } from './span.ts';

/** The question to an owner whether to book, and when it suits. */
export type AskView = {
  readonly caseId: string;
  readonly what: string;
  readonly technician: string | null;
  /** Null where the café has not set its call-out fee: then no money is named. */
  readonly fee: { readonly amount: number; readonly currency: string } | null;
  readonly quiet: readonly Span[];
  readonly wishedBy: string | null;
};

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

export const askMessage = (show: Show, view: AskView): Message => {
  const { say, reader } = show;
  const first = view.technician === null ? say('booking.ask.first.nobody', { what: view.what }) : say('booking.ask.first', { what: view.what, technician: view.technician });
  const fee = view.fee === null ? [] : [say('booking.ask.money', { fee: money(view.fee.amount, view.fee.currency, reader.locale) })];
  const times = view.quiet.length === 0 ? say('booking.ask.no-times') : fitted(say('booking.ask.times', { times: listed(view.quiet.map((span) => stretchText(span, show)), reader.locale) }));
  const wished = view.wishedBy === null ? [] : [say('booking.ask.wished', { name: view.wishedBy })];
  const to = (which: string, text: string) => button(label(text), press('booking.wish', view.caseId, which), which === '0' ? 'main' : 'plain');
  const days = view.quiet.map((span, i) => to(String(i), capital(dayText(span.start, show))));
  const either = view.quiet.length > 1 ? [to('either', say('booking.button.either'))] : [to('any', say('booking.button.any-time'))];
  return message([line(fitted(first), 'strong'), ...wished, ...fee, times], ...(days.length > 0 ? [days] : []), [...either, to('not-now', say('booking.button.not-now'))]);
};
