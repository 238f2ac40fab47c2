import { button, line, message, type Button, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { clockTime, inLines, LINE_WIDTH, listed, shortDate } from '../words/format.ts';
import { roundOf, type Booking, type TechnicianId } from './booking-state.ts';
import type { Passed } from './booking-event.ts';
import { fitted, label, whenLabel, whenText, type Show } from './show.ts';
import type { CafeNotice } from './told.ts';
import { fittedText, partsText, priceText } from './closing.ts';
import { causeText } from './views-what.ts';

/** A booking as its café sees it. */
export type CafeView = {
  readonly booking: Booking;
  readonly name: (technician: TechnicianId) => string;
  readonly telephone: (technician: TechnicianId) => string | null;
  /** The first technicians of the café with their numbers, for when nobody could be asked. */
  readonly call: readonly { readonly name: string; readonly telephone: string | null }[];
  /** What to do until somebody comes; null: nothing known. */
  readonly until: string | null;
  readonly urgent: boolean;
  readonly moreToAsk: boolean;
  /** A cause of the catalogue, or what the technician wrote. */
  readonly isCause: (cause: string) => boolean;
  readonly isPart: (part: string) => boolean;
  /** The machine must still stay off. */
  readonly stillOff: boolean;
  /** Null: money is not for this reader. */
  readonly currency: string | null;
};

const callLine = ({ say }: Show, name: string, telephone: string | null): string => (telephone === null ? say('booking.call.no-number', { name }) : fitted(say('booking.call', { name, telephone })));

const passedText = (show: Show, view: CafeView, { technician, why }: Passed): string => show.say(`booking.passed.${why.replaceAll(' ', '-')}`, { name: view.name(technician) });

const untilLines = (view: CafeView, room: number): readonly string[] => (view.until === null ? [] : inLines(view.until).slice(0, room));

const finishedLines = (show: Show, view: CafeView, notice: Extract<CafeNotice, { kind: 'finished' | 'close-out corrected' }>): readonly string[] => {
  const { say } = show;
  const state = view.booking.state;
  // What was corrected later is what is shown.
  const closeOut = state.kind === 'finished' && state.technician === notice.technician ? state.closeOut : notice.closeOut;
  const cause = view.isCause(closeOut.cause) ? causeText(say, closeOut.cause) : closeOut.cause;
  const brief = view.isCause(closeOut.cause) ? causeText(say, closeOut.cause, '.short').toLowerCase() : closeOut.cause;
  const at = state.kind === 'finished' ? clockTime(state.since, show.reader) : '';
  const name = view.name(notice.technician);
  const words = closeOut.words === null ? [] : inLines(say('booking.c.words', { words: closeOut.words })).slice(0, 2);
  const left = closeOut.defectsLeft.length === 0 ? [] : [fitted(say('booking.c.left', { defects: listed(closeOut.defectsLeft, show.reader.locale) }))];
  const parts = closeOut.fitted.length === 0 ? [] : [fittedText, partsText].map((text) => say('booking.c.fitted', { parts: text(show, closeOut.fitted, view.isPart) }));
  const price = closeOut.price === null || view.currency === null ? [] : [say('booking.c.price', { price: priceText(closeOut.price, view.currency, show.reader.locale) })];
  const work = [[...parts.slice(0, 1), ...price].join(' '), [...parts.slice(1), ...price].join(' '), ...parts, ...price].filter((text) => text !== '');
  const off = view.stillOff ? [fitted(say('booking.c.still-off', { name }))] : [];
  const first = fitted(say('booking.c.finished', { name, at, cause }), say('booking.c.finished', { name, at, cause: brief }), say('booking.c.finished.short', { name, cause: brief }));
  return [first, ...off, ...(work[0] === undefined ? [] : [fitted(work[0], ...work)]), ...words, ...left].slice(0, 4);
};

const nobodyLines = (show: Show, view: CafeView, insteadOf: Passed | null): readonly string[] => {
  const { say } = show;
  const [call, next] = view.call;
  const passed = insteadOf === null ? say('booking.c.nobody') : passedText(show, view, insteadOf);
  if (!call) return [passed, say('booking.call.nobody')];
  const please = callLine(show, call.name, call.telephone);
  const first = `${passed} ${please}`;
  const together = first.length <= LINE_WIDTH ? [first] : [passed, please];
  return [...together, ...(next ? [callLine(show, next.name, next.telephone)] : []), say('booking.c.cannot-telephone')];
};

const linesOf = (show: Show, view: CafeView, notice: CafeNotice): readonly string[] => {
  const { say } = show;
  const name = 'technician' in notice && notice.technician !== null ? view.name(notice.technician) : '';
  switch (notice.kind) {
    case 'asked':
      return notice.insteadOf === null
        ? [fitted(say('booking.c.asked', { name })), ...(view.urgent ? [say('booking.c.asked.urgent', { time: clockTime(notice.answerBy, show.reader) })] : [])]
        : [passedText(show, view, notice.insteadOf), fitted(say('booking.c.asked', { name })), ...(view.urgent ? [callLine(show, view.name(notice.insteadOf.technician), view.telephone(notice.insteadOf.technician))] : [])];
    case 'taken':
      return notice.proposal === null ? [fitted(say('booking.c.taken.no-time', { name }))] : [fitted(say('booking.c.taken.offers', { name, when: whenText(notice.proposal.span.start, show) })), say('booking.c.not-fixed')];
    case 'time agreed':
      return notice.insteadOf === null ? [fitted(say('booking.c.agreed', { name, when: whenText(notice.span.start, show) })), ...untilLines(view, 2)] : [fitted(say('booking.c.moved', { name, when: whenText(notice.span.start, show) }))];
    case 'time offered':
      return notice.proposal.by === 'technician' ? [fitted(say('booking.c.offers', { name, when: whenText(notice.proposal.span.start, show) })), say('booking.c.not-fixed')] : [fitted(say('booking.c.asked-time', { name, when: whenText(notice.proposal.span.start, show) })), say('booking.c.not-fixed')];
    case 'time declined':
      return [notice.proposal.by === 'cafe' ? fitted(say('booking.c.declined', { name, when: whenLabel(notice.proposal.span.start, show) })) : fitted(say('booking.c.you-declined', { name, when: whenLabel(notice.proposal.span.start, show) }))];
    case 'on the way':
      return [notice.span === null ? say('booking.c.way', { name }) : fitted(say('booking.c.way-at', { name, time: clockTime(notice.span.start, show.reader) }))];
    case 'late':
      return [fitted(notice.at === null ? say('booking.c.late', { name, minutes: notice.minutes }) : say('booking.c.late.at', { name, time: clockTime(notice.at, show.reader) }))];
    case 'here':
      return [say('booking.c.here', { name })];
    case 'unreachable':
      return [say('booking.passed.cannot-be-reached', { name }), callLine(show, name, view.telephone(notice.technician))];
    case 'freed':
      if (notice.group !== undefined) return [fitted(say('booking.c.freed.group', { name, group: notice.group, time: clockTime(notice.at, show.reader) }))];
      return [fitted(say('booking.c.freed', { name, time: clockTime(notice.at, show.reader) })), say('booking.c.freed.how')];
    case 'waiting for a part':
      return [fitted(say('booking.c.part', { name, part: notice.part })), notice.expected === null ? say('booking.c.part.later') : say('booking.c.part.by', { when: shortDate(notice.expected, show.reader) })];
    case 'finished':
    case 'close-out corrected':
      return finishedLines(show, view, notice);
    case 'called off':
      return [fitted(say(notice.by === 'cafe' ? 'booking.c.called-off' : 'booking.c.t-called-off', { name, reason: notice.reason }), say('booking.c.called-off.plain')), ...(notice.by === 'technician' && notice.technician !== null ? [callLine(show, name, view.telephone(notice.technician))] : [])];
    case 'nobody took it':
      return nobodyLines(show, view, notice.insteadOf);
    case 'answer wanted':
      return [notice.proposal === null ? say('booking.c.answer-wanted', { name }) : fitted(say('booking.c.answer-wanted.when', { name, when: whenLabel(notice.proposal.span.start, show) }))];
    case 'please telephone':
      return [say('booking.c.no-answer', { name }), callLine(show, name, view.telephone(notice.technician))];
    case 'did it happen':
      return [say('booking.c.did-it-happen', { name }), callLine(show, name, view.telephone(notice.technician))];
    case 'you are asked':
    case 'you are released':
      throw new Error(`not for a café: ${notice.kind}`);
    default:
      return notice satisfies never;
  }
};

const cafeRows = (show: Show, view: CafeView): readonly (readonly Button[])[] => {
  const { say } = show;
  const { booking } = view;
  const { state } = booking;
  const of = (kind: string, ...ids: readonly string[]) => press(kind, booking.id, String(roundOf(booking)), ...ids);
  const off = button(say('booking.button.off'), of('booking.off', 'c'));
  const other = button(say('booking.button.other-time'), of('booking.time', 'c'));
  const photo = button(say('booking.button.photo'), of('booking.photo', 'c'));
  const another = view.moreToAsk && 'technician' in state && state.technician !== null ? [button(say('booking.button.another'), of('booking.another', state.technician))] : [];
  const answer = (): readonly (readonly Button[])[] => {
    if (!('proposal' in state) || state.proposal?.by !== 'technician') return [];
    const { start, end } = state.proposal.span;
    return [[button(label(say('booking.button.yes-when', { when: whenLabel(start, show) })), of('booking.c-accept', String(start), String(end)), 'main'), button(say('booking.button.no-time'), of('booking.c-decline', String(start), String(end)))]];
  };
  switch (state.kind) {
    case 'asked':
      return [[photo, off, ...another]];
    case 'taken':
    case 'time agreed':
    case 'waiting for a part':
      return [...answer(), [other, photo], [off, ...another]];
    case 'on the way':
    case 'here':
      return [[off]];
    case 'finished':
      return [[button(say('booking.button.not-cured'), of('booking.not-cured'))]];
    case 'called off':
    case 'nobody took it':
      return [[button(say('booking.button.ask-again'), of('booking.again'))]];
    default:
      return state satisfies never;
  }
};

/** Who at the bar brought it about, and what they said of a visit that did not help. */
const byLine = ({ say }: Show, { booking }: CafeView, notice: CafeNotice, by: string): string => {
  const again = notice.kind === 'asked' && notice.insteadOf === null ? booking.reopened.at(-1)?.why : undefined;
  return fitted(say('booking.c.by', { by, why: again?.replaceAll(' ', '_') ?? 'other' }));
};

/** What a café is told of one change; only the newest message has buttons. `by`: somebody of the bar, where it was theirs. */
export const cafeMessage = (show: Show, view: CafeView, notice: CafeNotice, newest: boolean, by?: string): Message => {
  const loud = view.urgent && (notice.kind === 'nobody took it' || notice.kind === 'asked');
  const [first = '', ...rest] = [...linesOf(show, view, notice).slice(0, by === undefined ? 4 : 3), ...(by === undefined ? [] : [byLine(show, view, notice, by)])];
  const lines = [line(first, loud ? 'danger' : 'strong'), ...rest.map((text) => line(text))].slice(0, 4);
  return newest ? message(lines, ...cafeRows(show, view)) : message(lines);
};

/** How a booking stands now, with everything that can be done about it. */
export const standingMessage = (show: Show, view: CafeView): Message => {
  const { state } = view.booking;
  const notice = noticeOf(state);
  const [first = '', ...rest] = linesOf(show, view, notice);
  return message([line(first, 'strong'), ...rest.map((text) => line(text))].slice(0, 4), ...cafeRows(show, view));
};

const noticeOf = (state: Booking['state']): CafeNotice => {
  switch (state.kind) {
    case 'asked':
      return { kind: 'asked', technician: state.technician, answerBy: state.answerBy, insteadOf: null };
    case 'taken':
      return state.proposal?.by === 'cafe' ? { kind: 'time offered', technician: state.technician, proposal: state.proposal } : { kind: 'taken', technician: state.technician, proposal: state.proposal };
    case 'time agreed':
      return { kind: 'time agreed', technician: state.technician, span: state.appointment.span, insteadOf: null };
    case 'on the way':
      return { kind: 'on the way', technician: state.technician, span: state.appointment?.span ?? null };
    case 'here':
      return { kind: 'here', technician: state.technician };
    case 'waiting for a part':
      return { kind: 'waiting for a part', technician: state.technician, part: state.part, expected: null };
    case 'finished':
      return { kind: 'finished', technician: state.technician, closeOut: state.closeOut };
    case 'called off':
      return { kind: 'called off', by: state.by, technician: state.technician, reason: state.reason };
    case 'nobody took it':
      return { kind: 'nobody took it', asked: [], insteadOf: null };
    default:
      return state satisfies never;
  }
};
