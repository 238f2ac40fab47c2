import { button, line, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { shortDate } from '../words/format.ts';
import type { Instant } from '../time/instant.ts';
import type { LocalDate } from '../time/local-date.ts';
import { dayText, fitted, label, type Show } from './show.ts';
import type { Span } from './span.ts';

export type ServiceView = {
  readonly plan: string;
  readonly about: string;
  readonly due: Instant;
  readonly technician: string | null;
  readonly days: readonly { readonly date: LocalDate; readonly span: Span }[];
  /** Somebody comes for something else before; null: nobody does. */
  readonly anyway: string | null;
};

const nameOf = ({ say }: Show, about: string): string => say(`booking.about.${about.replaceAll(' ', '-')}`);
const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** A service that is due soon, with days to choose from. */
export const serviceMessage = (show: Show, view: ServiceView): Message => {
  const { say, reader, now } = show;
  const key = view.due < now ? 'booking.service.overdue' : 'booking.service.due';
  const first = fitted(say(key, { what: nameOf(show, view.about), date: shortDate(view.due, reader) }));
  const who = view.technician === null ? say('booking.service.nobody') : say('booking.service.ask', { name: view.technician });
  const law = view.about === 'pressure examination' ? [say('booking.service.law')] : [];
  const to = (text: string, ...dates: readonly string[]) => button(label(text), press('booking.service-book', view.plan, ...dates));
  const days = view.days.map(({ date, span }) => to(capital(dayText(span.start, show)), date));
  return message(
    [line(first, 'strong'), ...(view.anyway === null ? [] : [fitted(view.anyway)]), ...law, who].slice(0, 4),
    [...days, ...(view.days.length > 1 ? [to(say('booking.button.either'), ...view.days.map(({ date }) => date))] : [to(say('booking.button.any-time'))])],
    [button(say('booking.button.in-a-week'), press('booking.service-later', view.plan)), button(say('booking.button.not-this'), press('booking.service-off', view.plan))],
  );
};

export type ServicesView = { readonly cafe: string; readonly plans: readonly { readonly about: string; readonly due: Instant; readonly booked: boolean }[]; readonly about: readonly string[]; readonly note?: string };

/** Services of a café that come round, and how to set one. */
export const servicesMessage = (show: Show, view: ServicesView): Message => {
  const { say, reader } = show;
  const lines = view.plans.map(({ about, due, booked }) => fitted(say('booking.service.line', { what: nameOf(show, about), date: shortDate(due, reader), booked: booked ? 'yes' : 'no' })));
  const set = view.about.map((about) => button(label(nameOf(show, about)), press('booking.service-set', view.cafe, about)));
  return message([...(view.note === undefined ? [] : [view.note]), ...(lines.length > 0 ? lines : [say('booking.service.none')]), say('booking.service.law')].slice(0, 4), set);
};
