import { z } from 'zod';
import { button, line, message, type Button, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { clockTime, inLines, listed } from '../words/format.ts';
import { fittedParts } from './booking-read.ts';
import { roundOf, type CloseOut, type FittedPart } from './booking-state.ts';
import { isSeal } from './fitted-words.ts';
import type { BookingRecord } from './records.ts';
import type { Report } from './report.ts';
import { fitted, label, type Show } from './show.ts';
import { isHeldBy, type TechnicianView } from './views-technician.ts';
import { causeText, partText } from './views-what.ts';

const STEPS = ['what', 'fitted', 'seal', 'words'] as const;
export type Step = (typeof STEPS)[number];

/** What the technician is writing at the end: the question on show, and what is answered so far. */
export type Draft = { readonly step: Step; readonly cause: string | null; readonly fitted: CloseOut['fitted']; /** Typed words that may tell of a danger, while that is asked. */ readonly doubt?: string | undefined };

const draft = z.object({ step: z.enum(STEPS), cause: z.string().nullable(), fitted: fittedParts, doubt: z.string().optional() });

export const draftOf = (row: Pick<BookingRecord, 'draft'>): Draft | null => (row.draft === null ? null : draft.parse(JSON.parse(row.draft)));

export const stepIn = (text: string | undefined): Step => STEPS.find((step) => step === text) ?? 'what';

/** The question before the one on show; the one on seals was asked of seals alone. */
export const stepBefore = ({ step, fitted: all }: Draft): Step => (step === 'words' ? (all.some(isSeal) ? 'seal' : 'fitted') : step === 'seal' ? 'fitted' : 'what');

export type Closing = {
  readonly isCause: (cause: string) => boolean;
  /** Parts that belong to a cause, as part ids. */
  readonly partsFor: (cause: string) => readonly string[];
  readonly isPart: (part: string) => boolean;
};

const of = (view: TechnicianView, kind: string, ...ids: readonly string[]) => press(kind, view.booking.id, String(roundOf(view.booking)), ...ids);

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

const enough = ({ say }: Show, view: TechnicianView): Button => button(say('booking.button.enough'), of(view, 'booking.enough'));

/** One question back; before the first one there is nothing to close yet. A correction has one question alone. */
const back = ({ say }: Show, view: TechnicianView, to: Step | null): Button => {
  const leaves = to === null || view.booking.state.kind === 'finished';
  const label_ = say(to === null && view.booking.state.kind !== 'finished' ? 'booking.button.not-yet' : 'booking.button.back');
  return button(label_, leaves ? of(view, 'booking.undraft') : of(view, 'booking.step', to));
};

const whatMessage = (show: Show, view: TechnicianView): Message => {
  const { say } = show;
  const likely = view.handoff.details.causes.slice(0, 3).map(({ cause }) => button(label(causeText(say, cause, '.short')), of(view, 'booking.was', cause)));
  return message([line(say('booking.t.what'), 'strong')], ...(likely.length > 0 ? [likely] : []), [button(say('booking.button.something-else'), of(view, 'booking.what')), button(say('booking.button.details'), of(view, 'booking.details')), back(show, view, null)]);
};

const fittedMessage = (show: Show, view: TechnicianView, draft: Draft, { partsFor }: Closing): Message => {
  const { say } = show;
  const known = [...(draft.cause === null ? [] : partsFor(draft.cause)), ...view.handoff.first.bring.map(({ part }) => part)];
  const parts = [...new Set(known)].slice(0, 3).map((part) => button(label(capital(partText(show, { part, count: 1 }))), of(view, 'booking.with', part)));
  return message([line(say('booking.t.fitted'), 'strong')], [button(say('booking.button.nothing'), of(view, 'booking.with', '-')), ...parts], [button(say('booking.button.write'), of(view, 'booking.fitted')), enough(show, view), back(show, view, 'what')]);
};

/** Asked of seals alone: the record of their group takes it. */
const sealMessage = (show: Show, view: TechnicianView): Message => {
  const { say } = show;
  const sits = (how: string): Button => button(say(`booking.button.seal-${how}`), of(view, 'booking.sits', how));
  return message([line(say('booking.t.seal'), 'strong')], [sits('up'), sits('down')], [button(say('booking.button.seal-shim'), of(view, 'booking.seal')), button(say('booking.button.skip'), of(view, 'booking.sits', '-')), back(show, view, 'fitted')]);
};

const wordsMessage = (show: Show, view: TechnicianView, draft: Draft): Message =>
  message([line(show.say('booking.t.word'), 'strong'), show.say(view.direct ? 'booking.t.word.how' : 'booking.t.word.reply')], [button(show.say('booking.button.write'), of(view, 'booking.words'), 'main'), button(show.say('booking.button.skip'), of(view, 'booking.enough')), back(show, view, stepBefore(draft))]);

const howText = ({ say }: Show, { how }: FittedPart): string => {
  const all = how === undefined ? [] : [
    ...(how.material === null ? [] : [say(`booking.seal.${how.material}`)]), ...(how.sideUp === null ? [] : [say(`booking.seal.${how.sideUp}`)]),
    ...(how.shimMm === null ? [] : [how.shimMm === 0 ? say('booking.seal.no-shim') : say('booking.seal.shim', { mm: how.shimMm })]),
  ];
  return all.length === 0 ? '' : ` (${all.join(', ')})`;
};

/** What was fitted, as people say it: parts of the book by name, written ones as written, and how a seal sits. */
export const fittedText = (show: Show, all: CloseOut['fitted'], isPart: (part: string) => boolean): string => listed(all.map((one) => (isPart(one.part) ? `${partText(show, one)}${howText(show, one)}` : one.part)), show.reader.locale);

/** The same in short. */
export const partsText = (show: Show, all: CloseOut['fitted'], isPart: (part: string) => boolean): string => fittedText(show, all.map((one) => ({ ...one, how: undefined })), isPart);

export const priceText = (price: number, currency: string, locale: string): string => {
  const format = new Intl.NumberFormat(locale === 'en' ? 'en-GB' : locale, { style: 'currency', currency });
  return format.format(price / 10 ** (format.resolvedOptions().maximumFractionDigits ?? 2));
};

const closedLine = (show: Show, closeOut: CloseOut, time: string, closing: Closing): string => {
  const { say } = show;
  const cause = closing.isCause(closeOut.cause) ? causeText(say, closeOut.cause) : closeOut.cause;
  const brief = closing.isCause(closeOut.cause) ? causeText(say, closeOut.cause, '.short').toLowerCase() : closeOut.cause;
  const parts = closeOut.fitted.length > 0 ? fittedText(show, closeOut.fitted, closing.isPart) : say('booking.t.closed.no-parts');
  const short = closeOut.fitted.length > 0 ? partsText(show, closeOut.fitted, closing.isPart) : parts;
  const all = (what: string, with_: string): string => (closeOut.minutes === null ? say('booking.t.closed.parts', { time, cause: what, parts: with_ }) : say('booking.t.closed.all', { time, cause: what, parts: with_, minutes: closeOut.minutes }));
  return fitted(all(cause, parts), all(brief, parts), all(cause, short), all(brief, short), say('booking.t.closed', { time, cause }), say('booking.t.closed', { time, cause: brief }));
};

const closedMessage = (show: Show, view: TechnicianView, more: ClosingMore, closing: Closing): Message | undefined => {
  const { say } = show;
  const { state } = view.booking;
  if (state.kind !== 'finished' || state.technician !== view.technician) return undefined;
  const { closeOut } = state;
  const words = closeOut.words === null ? [] : inLines(say('booking.t.closed.words', { words: closeOut.words })).slice(0, 2);
  const price = closeOut.price === null || more.currency === null ? [] : [say('booking.t.closed.price', { price: priceText(closeOut.price, more.currency, show.reader.locale) })];
  const off = more.mustStayOff ? [say('booking.t.off-note')] : more.groupOut === null ? [] : [say('booking.t.group-note', { group: more.groupOut })];
  const free = off.length > 0 ? [[button(say('booking.button.free'), of(view, 'booking.free'), 'main')]] : [];
  const lines = [line(closedLine(show, closeOut, clockTime(state.since, show.reader), closing), 'strong'), ...words, ...off, ...price].slice(0, 4);
  return message(
    lines, ...free,
    [...(more.currency === null ? [] : [button(say('booking.button.price'), of(view, 'booking.price'))]), button(say('booking.button.photo'), of(view, 'booking.photo', 't')), button(say('booking.button.readings'), of(view, 'booking.readings')), button(say('booking.button.water'), of(view, 'booking.water'))],
    [button(say('booking.button.correct'), of(view, 'booking.correct')), button(say('booking.button.more'), of(view, 'booking.more')), button(say('booking.button.view'), of(view, 'booking.view'))],
  );
};

export type ClosingMore = { readonly mustStayOff: boolean; readonly groupOut: number | null; readonly currency: string | null; readonly report: Report };

/** The technician's message while something is being written at the end, and after it. */
export const closingMessage = (show: Show, row: BookingRecord, view: TechnicianView, more: ClosingMore, closing: Closing): Message | undefined => {
  const draft = draftOf(row);
  const mine = isHeldBy(view.booking, view.technician) !== undefined || (view.booking.state.kind === 'finished' && view.booking.state.technician === view.technician);
  if (!mine) return undefined;
  if (draft === null) return closedMessage(show, view, more, closing);
  if (draft.step === 'what') return whatMessage(show, view);
  if (draft.step === 'seal') return sealMessage(show, view);
  return draft.step === 'fitted' ? fittedMessage(show, view, draft, closing) : wordsMessage(show, view, draft);
};
