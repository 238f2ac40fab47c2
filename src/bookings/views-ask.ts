import { button, line, message, type Button, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { listed, money } from '../words/format.ts';
import { dayText, fitted, label, stretchText, type Show } from './show.ts';
import type { QuietDay } from './cafe-times.ts';

/** The question to an owner whether to book, and when it suits. */
export type AskView = {
  readonly caseId: string;
  readonly what: string;
  readonly technician: string | null;
  /** Null where the café has not set its call-out fee: then no money is named. */
  readonly fee: { readonly amount: number; readonly currency: string } | null;
  readonly quiet: readonly QuietDay[];
  /** The machine must stay off, or nothing can be served: any time suits. */
  readonly urgent: boolean;
  /** A visit that is agreed anyway, in words; null: none. */
  readonly anyway: string | null;
  readonly wishedBy: string | null;
};

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

export const askMessage = (show: Show, view: AskView): Message => {
  const { say, reader } = show;
  const first = view.technician === null ? say('booking.ask.first.nobody', { what: view.what }) : say('booking.ask.first', { what: view.what, technician: view.technician });
  const fee = view.fee === null ? [] : [say('booking.ask.money', { fee: money(view.fee.amount, view.fee.currency, reader.locale) })];
  const when = view.quiet.map(({ span }) => stretchText(span, show));
  const times = when.length === 0 ? say('booking.ask.no-times') : fitted(say('booking.ask.times', { times: listed(when, reader.locale) }));
  const wished = view.wishedBy === null ? [] : [say('booking.ask.wished', { name: view.wishedBy })];
  const anyway = view.anyway === null ? [] : [fitted(view.anyway)];
  const to = (text: string, weight: 'main' | 'plain', ...dates: readonly string[]): Button => button(label(text), press('booking.book', view.caseId, ...dates), weight);
  const notNow = button(say('booking.button.not-now'), press('booking.not-now', view.caseId));
  // The first line is never what is left out.
  const beside = anyway.length > 0 && wished.length + fee.length > 1 ? [fitted([...wished, ...fee].join(' '))] : [...wished, ...fee];
  const head = [line(fitted(first), view.urgent ? 'danger' : 'strong'), ...beside.map((text) => line(text))];
  if (view.urgent) return message([...head, line(say('booking.ask.urgent'))].slice(0, 4), [to(say('booking.button.at-once'), 'main', 'now'), notNow]);
  const days = view.quiet.map(({ date, span }, i) => to(capital(dayText(span.start, show)), i === 0 ? 'main' : 'plain', date));
  const either = view.quiet.length > 1 ? to(say('booking.button.either'), 'plain', ...view.quiet.map(({ date }) => date)) : to(say('booking.button.any-time'), 'plain', 'any');
  return message([...head, ...[...anyway, times].map((text) => line(text))].slice(0, 4), ...(days.length > 0 ? [days] : []), [either, notNow]);
};
