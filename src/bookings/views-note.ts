import type { Notice } from './booking-event.ts';
import { fitted, whenLabel, whenText, type Show } from './show.ts';

/** A short message to a technician about a change they have to know of; the booking's own message shows the rest. */
export const noteLines = (show: Show, notice: Notice, cafe: string, what: string): readonly string[] => {
  const { say } = show;
  switch (notice.kind) {
    case 'time offered':
      return [fitted(say('booking.n.time', { cafe, when: whenText(notice.proposal.span.start, show) })), fitted(what)];
    case 'time declined':
      return [fitted(say('booking.n.declined', { cafe, when: whenLabel(notice.proposal.span.start, show) }))];
    case 'called off':
      return [fitted(say('booking.n.called-off', { cafe, reason: notice.reason }), say('booking.n.called-off.plain', { cafe })), fitted(what)];
    case 'answer wanted':
      return [fitted(notice.proposal === null ? say('booking.n.name-a-time', { cafe }) : say('booking.n.answer', { cafe, when: whenLabel(notice.proposal.span.start, show) })), fitted(what)];
    case 'please telephone':
      return [fitted(say('booking.n.telephone', { cafe }))];
    case 'did it happen':
      return [fitted(notice.span === null ? say('booking.n.did-it-happen', { cafe }) : say('booking.n.did-it-happen.when', { cafe, when: whenLabel(notice.span.start, show) }))];
    case 'you are released':
      return [fitted(say('booking.n.released', { cafe })), fitted(what)];
    default:
      return [fitted(what)];
  }
};
