import { button, line, message, type Button, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { clockTime } from '../words/format.ts';
import { roundOf, type Booking, type HeldState, type TechnicianId } from './booking-state.ts';
import type { Handoff } from './handoff.ts';
import { dateText, dayName, fitted, label, ownClock, whenLabel, type Show } from './show.ts';
import type { Span } from './span.ts';
import { likelyLine, suitsText, whatText } from './views-what.ts';

/** A booking as one technician sees it. */
export type TechnicianView = {
  readonly booking: Booking;
  readonly technician: TechnicianId;
  readonly handoff: Handoff;
  readonly groups: number | null;
  readonly urgent: boolean;
  /** Times to take at once; `agreed` ones need no second yes. */
  readonly offers: readonly { readonly span: Span; readonly agreed: boolean }[];
  readonly cafe: { readonly name: string; readonly town: string };
  /** They are written to directly: whatever they type there is for the bot. */
  readonly direct: boolean;
  /** The technician's own zone, where known. */
  readonly zone: string | null;
};

const whereText = ({ say }: Show, { handoff }: TechnicianView): string => {
  const { where } = handoff.first;
  if (where.kind === 'known') return say('booking.where', { cafe: where.name, town: where.town });
  return where.km === null ? say('booking.where.area', { area: where.area }) : say('booking.where.km', { area: where.area, km: where.km });
};

/** "Urgent" and "came back" stand before everything else: it is all that a lock screen shows. */
const headLine = (show: Show, view: TechnicianView): string => {
  const { say } = show;
  const what = whatText(say, view.handoff.first.symptom, view.handoff.first.group);
  const where = whereText(show, view);
  if (view.urgent) return fitted(say('booking.head.urgent', { what, where }), say('booking.head.urgent', { what, where: view.handoff.first.where.kind === 'known' ? view.cafe.name : '' }).trimEnd());
  const again = view.booking.reopened.at(-1)?.why;
  if (again === 'came back' || again === 'not cured') return fitted(say(`booking.head.${again.replace(' ', '-')}`, { what, where }), say(`booking.head.${again.replace(' ', '-')}`, { what, where: '' }).trimEnd());
  return fitted(say('booking.head', { what, where }));
};

const safeLine = ({ say, reader }: Show, { handoff: { first }, groups }: TechnicianView): string => {
  const { serving, safe, danger } = first;
  if (danger) return fitted(say('booking.safe.danger', { off: danger.off.replaceAll(' ', '_'), group: first.group ?? 0, at: danger.offAt === null ? 'none' : clockTime(danger.offAt, reader), people: danger.people.replaceAll(' ', '_') }));
  const left = serving.kind === 'some groups' ? serving.left : 0;
  return say('booking.safe', { safe: safe.replaceAll(' ', '_'), serving: serving.kind.replaceAll(' ', '_'), left, groups: groups ?? 0 });
};

const answerText = (show: Show, { handoff }: TechnicianView): string | null => {
  const by = handoff.first.answerBy;
  if (by === null) return null;
  const today = dayName(by, show) === show.say('booking.day.today');
  return today ? clockTime(by, show.reader) : show.say('booking.label.day', { day: dayName(by, show), time: clockTime(by, show.reader) });
};

const timesLine = (show: Show, view: TechnicianView): string => {
  const { say } = show;
  const suits = suitsText(show, view.handoff.first.suits);
  const by = answerText(show, view);
  if (by === null) return fitted(say('booking.suits', { suits }));
  return fitted(say('booking.suits.answer', { suits, by }), say('booking.suits.answer.short', { suits, by }), say('booking.suits.answer.least', { suits, by }));
};

const of = (view: TechnicianView, kind: string, ...ids: readonly string[]) => press(kind, view.booking.id, String(roundOf(view.booking)), ...ids);

const takeButtons = (show: Show, view: TechnicianView): readonly Button[] =>
  view.offers.slice(0, 3).map(({ span, agreed }, i) => button(label(show.say(agreed ? 'booking.button.take' : 'booking.button.offer', { when: whenLabel(span.start, show) })), of(view, 'booking.take', String(span.start)), i === 0 ? 'main' : 'plain'));

const details = ({ say }: Show, view: TechnicianView): Button => button(say('booking.button.details'), of(view, 'booking.details'));
const otherTime = ({ say }: Show, view: TechnicianView): Button => button(say('booking.button.other-time'), of(view, 'booking.time', 't'));

/** Whoever has passed it on need not say so again. */
const askedRows = (show: Show, view: TechnicianView, passed = false): readonly (readonly Button[])[] => {
  const take = takeButtons(show, view);
  return [...(take.length > 0 ? [take] : []), [otherTime(show, view), ...(passed ? [] : [button(show.say('booking.button.cannot'), of(view, 'booking.cannot'))]), details(show, view)]];
};

/** Another clock than the café's is named beside the time. */
const clockLine = (show: Show, view: TechnicianView, at: Span | null): readonly string[] => {
  const own = at === null ? null : ownClock(at.start, view.zone, show);
  return own === null ? [] : [show.say('booking.own-clock', { time: own })];
};

const visitLines = ({ say }: Show, { handoff, cafe }: TechnicianView): readonly string[] => {
  const { visit } = handoff;
  if (visit === null) return [];
  return [
    ...(visit.door === null ? [] : [fitted(say('booking.door', { door: visit.door.charAt(0).toUpperCase() + visit.door.slice(1) }))]),
    fitted(visit.address ?? say('booking.where', { cafe: cafe.name, town: cafe.town })),
    ...(visit.contact === null ? [] : [fitted(say('booking.contact', visit.contact))]),
  ];
};

/** Three visits on one day are told apart by what they are about. */
const agreedHead = ({ say }: Show, { handoff: { first } }: TechnicianView, when: string): string =>
  fitted(say('booking.t.agreed.what', { when, what: whatText(say, first.symptom, first.group) }), say('booking.t.agreed', { when }));

/** What stands first once the technician has it, and the buttons that go with it. */
const heldHead = (show: Show, view: TechnicianView, state: HeldState): string => {
  const { say } = show;
  const cafe = view.cafe.name;
  switch (state.kind) {
    case 'taken':
      if (state.proposal === null) return say('booking.t.taken', { cafe });
      return state.proposal.by === 'technician' ? fitted(say('booking.t.proposed', { when: dateText(state.proposal.span.start, show), cafe })) : fitted(say('booking.t.asks', { cafe, when: dateText(state.proposal.span.start, show) }));
    case 'time agreed':
      if (state.proposal === null) return agreedHead(show, view, dateText(state.appointment.span.start, show));
      return state.proposal.by === 'technician' ? fitted(say('booking.t.moving', { from: whenLabel(state.appointment.span.start, show), to: whenLabel(state.proposal.span.start, show) })) : fitted(say('booking.t.asks-instead', { cafe, to: whenLabel(state.proposal.span.start, show), from: whenLabel(state.appointment.span.start, show) }));
    case 'on the way':
      return state.appointment === null ? say('booking.t.way', { cafe }) : fitted(say('booking.t.way-at', { cafe, time: clockTime(state.appointment.span.start, show.reader) }));
    case 'here':
      return say('booking.t.here', { time: clockTime(state.since, show.reader), cafe });
    case 'waiting for a part':
      return fitted(say('booking.t.part', { part: state.part }), say('booking.t.part', { part: state.part.slice(0, 30) }));
    default:
      return state satisfies never;
  }
};

const proposalRow = (show: Show, view: TechnicianView, state: HeldState): readonly (readonly Button[])[] => {
  if (!('proposal' in state) || state.proposal?.by !== 'cafe') return [];
  const { start, end } = state.proposal.span;
  const ids = [String(start), String(end)];
  return [[button(label(show.say('booking.button.yes-when', { when: whenLabel(start, show) })), of(view, 'booking.accept', ...ids), 'main'), button(show.say('booking.button.no-time'), of(view, 'booking.decline', ...ids))]];
};

const heldRows = (show: Show, view: TechnicianView, state: HeldState): readonly (readonly Button[])[] => {
  const { say } = show;
  const way = button(say('booking.button.way'), of(view, 'booking.way'), 'main');
  const here = button(say('booking.button.here'), of(view, 'booking.here'));
  const off = button(say('booking.button.t-off'), of(view, 'booking.off', 't'));
  const late = button(say('booking.button.late'), of(view, 'booking.late'));
  const part = button(say('booking.button.part'), of(view, 'booking.part'));
  const finished = button(say('booking.button.finished'), of(view, 'booking.finish'), 'main');
  switch (state.kind) {
    case 'taken':
      return [...proposalRow(show, view, state), ...(state.proposal === null ? [takeButtons(show, view)].filter((row) => row.length > 0) : []), [otherTime(show, view), off, details(show, view)]];
    case 'waiting for a part':
      return [...proposalRow(show, view, state), [otherTime(show, view), way], [finished, off, details(show, view)]];
    case 'time agreed':
      return [...proposalRow(show, view, state), [way, here, late], [otherTime(show, view), off, details(show, view)]];
    case 'on the way':
      return [[{ ...here, weight: 'main' }, late], [finished, part, details(show, view)]];
    case 'here':
      return [[finished, part], [details(show, view)]];
    default:
      return state satisfies never;
  }
};

export const isHeldBy = (booking: Booking, technician: TechnicianId): HeldState | undefined => {
  const { state } = booking;
  const held = state.kind === 'taken' || state.kind === 'time agreed' || state.kind === 'on the way' || state.kind === 'here' || state.kind === 'waiting for a part';
  return held && state.technician === technician ? state : undefined;
};

const spanOf = (state: HeldState): Span | null => {
  const agreed = 'appointment' in state ? state.appointment : null;
  const named = 'proposal' in state ? state.proposal : null;
  return agreed?.span ?? named?.span ?? null;
};

const heldMessage = (show: Show, view: TechnicianView, state: HeldState): Message => {
  const head = heldHead(show, view, state);
  const rest = state.kind === 'taken' && state.proposal === null ? [timesLine(show, view)] : clockLine(show, view, spanOf(state));
  const visit = visitLines(show, view);
  const telephone = visit.length > 0 && view.handoff.visit?.contact ? visit.slice(-1) : [];
  const place = visit.slice(0, visit.length - telephone.length);
  // The telephone is never what is cut.
  const lines = [head, ...rest, ...place].slice(0, 4 - telephone.length);
  return message([line(lines[0] ?? head, 'strong'), ...lines.slice(1), ...telephone], ...heldRows(show, view, state));
};

/** The one message a technician has of a booking, as it stands. `closing` shows the writing at the end instead, where it is under way. */
export const technicianMessage = (show: Show, view: TechnicianView): Message => {
  const { say } = show;
  const { booking, technician } = view;
  const held = isHeldBy(booking, technician);
  if (held) return heldMessage(show, view, held);
  const head = line(headLine(show, view), view.urgent ? 'danger' : 'strong');
  const { state } = booking;
  const mine = 'technician' in state && state.technician === technician;
  switch (state.kind) {
    case 'asked':
      if (mine) return message([head, safeLine(show, view), likelyLine(show, view.handoff.first), timesLine(show, view)], ...askedRows(show, view));
      return message([head, say('booking.t.passed-on')], ...askedRows(show, view, true));
    case 'nobody took it':
      return message([head, say('booking.t.nobody')], ...askedRows(show, view));
    case 'called off':
      return mine && state.by === 'technician' ? message([head, say('booking.t.you-called-off')]) : message([head, fitted(say('booking.t.called-off', { reason: state.reason }), say('booking.t.called-off.plain'))]);
    case 'finished':
      return message([head, say(mine ? 'booking.t.finished' : 'booking.t.other')]);
    default:
      return message([head, say('booking.t.other')]);
  }
};

/** Its buttons alone, for a short message that asks for the same. */
export const technicianRows = (show: Show, view: TechnicianView): Message['rows'] => technicianMessage(show, view).rows;
