import { button, line, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { clockTime, inLines } from '../words/format.ts';
import { roundOf } from './booking-state.ts';
import type { BookingRecord } from './records.ts';
import { fitted, label, type Show } from './show.ts';
import { isHeldBy, type TechnicianView } from './views-technician.ts';
import { causeText } from './views-what.ts';

/** What the technician is writing at the end. */
export type Draft = { readonly step: 'what' };

export const draftOf = (row: Pick<BookingRecord, 'draft'>): Draft | null => (row.draft === null ? null : (JSON.parse(row.draft) as Draft));

const whatMessage = (show: Show, view: TechnicianView): Message => {
  const { say } = show;
  const of = (...ids: readonly string[]) => press('booking.was', view.booking.id, String(roundOf(view.booking)), ...ids);
  const likely = view.handoff.details.causes.slice(0, 3).map(({ cause }) => button(label(causeText(say, cause, '.short')), of(cause)));
  return message([line(say('booking.t.what'), 'strong')], ...(likely.length > 0 ? [likely] : []), [button(say('booking.button.something-else'), press('booking.what', view.booking.id, String(roundOf(view.booking)))), button(say('booking.button.details'), press('booking.details', view.booking.id, String(roundOf(view.booking))))]);
};

const closedMessage = (show: Show, view: TechnicianView, mustStayOff: boolean, isCause: (cause: string) => boolean): Message | undefined => {
  const { say } = show;
  const { state } = view.booking;
  if (state.kind !== 'finished' || state.technician !== view.technician) return undefined;
  const { closeOut } = state;
  const cause = isCause(closeOut.cause) ? causeText(say, closeOut.cause) : closeOut.cause;
  const of = (kind: string) => press(kind, view.booking.id, String(roundOf(view.booking)));
  const words = closeOut.words === null ? [] : inLines(say('booking.t.closed.words', { words: closeOut.words })).slice(0, 2);
  const rows = [[button(say('booking.button.words'), of('booking.words')), button(say('booking.button.fitted'), of('booking.fitted'))], ...(mustStayOff ? [[button(say('booking.button.free'), of('booking.free'), 'main')]] : [])];
  return message([line(fitted(say('booking.t.closed', { time: clockTime(state.since, show.reader), cause })), 'strong'), ...words, ...(mustStayOff ? [say('booking.t.off-note')] : [])], ...rows);
};

/** The technician's message while something is being written at the end, and after it. */
export const closingMessage = (show: Show, row: BookingRecord, view: TechnicianView & { readonly mustStayOff?: boolean }, isCause: (cause: string) => boolean): Message | undefined =>
  draftOf(row)?.step === 'what' && isHeldBy(view.booking, view.technician) ? whatMessage(show, view) : closedMessage(show, view, view.mustStayOff ?? false, isCause);
