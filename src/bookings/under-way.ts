import { cafeById } from '../cafe/records.ts';
import type { Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { Ids } from '../store/id.ts';
import { later, minutes } from '../time/instant.ts';
import { dayWords } from './arrange.ts';
import { fieldOf, roundIn, wordsField, type Pressing } from './pressing.ts';
import { bookingOf } from './records.ts';
import { label } from './show.ts';
import { refresh, tellCafe } from './told.ts';
import { readTime } from './time-words.ts';
import { isHeldBy } from './views-technician.ts';

/** Minutes a visit may be said to come later by. */
const DELAYS = [15, 30, 60, 120] as const;

/** From the road to the machine: on my way, here, later than said, a part is missing. */
export const createUnderWay = ({ ids, pressing }: { readonly ids: Ids; readonly pressing: Pressing }): readonly PressRoute[] => {
  const { asTechnician, byTechnician, ofTechnician, refusal, form, technician, say: sayOf } = pressing;

  const askDelay = async (pressed: Pressed): Promise<Answer> => {
    const say = sayOf(pressed);
    const by = DELAYS.map((delay) => button(label(say('booking.late.by', { minutes: delay })), press('booking.late-by', ...pressed.press.ids.slice(0, 2), String(delay))));
    return { kind: 'private', message: message([say('booking.late.ask')], by) };
  };

  /** The agreed time stays what was agreed; the café hears when it will really be. */
  const tellDelay = async (pressed: Pressed): Promise<Answer> => {
    const say = sayOf(pressed);
    const delay = Number(pressed.press.ids[2]);
    const told = await ofTechnician(pressed, async (tx, row, entry) => {
      const cafe = await cafeById(tx, row.cafe);
      const held = isHeldBy(bookingOf(row), entry.id);
      if (!cafe || !held) return false;
      const planned = 'appointment' in held ? held.appointment?.span.start : undefined;
      await refresh({ tx, now: pressed.now, row });
      await tellCafe({ tx, ids, now: pressed.now, cafe, row }, { kind: 'late', technician: entry.id, minutes: delay, at: planned === undefined ? null : later(planned, minutes(delay)) }, null);
      return true;
    });
    return { kind: 'redraw', message: message([told === true ? say('booking.late.told') : say('booking.refused.not-asked')]) };
  };

  const needPart = (pressed: Pressed): Promise<Answer> =>
    byTechnician(pressed, async (tx, row, entry) => {
      const zone = (await cafeById(tx, row.cafe))?.zone ?? 'UTC';
      const when = fieldOf(pressed, 'when', 40);
      const found = when === '' ? undefined : readTime(/\d\s*[:.h]\s*\d\d/.test(when) ? when : `${when} 9:00`, pressed.now, zone, dayWords(sayOf(pressed)), minutes(60));
      return { kind: 'need a part', technician: entry.id, round: roundIn(pressed), part: fieldOf(pressed, 'text', 60), expected: found?.kind === 'time' ? found.span.start : null };
    });

  /** Words that may have been a missing part: told once somebody says they were. */
  const partIs = async (pressed: Pressed): Promise<Answer> => {
    const say = sayOf(pressed);
    const done = await asTechnician(pressed, (_tx, _row, entry) => ({ kind: 'need a part', technician: entry.id, round: roundIn(pressed), part: pressed.press.ids[2] ?? '', expected: null }));
    return { kind: 'redraw', message: refusal(pressed, done) ?? message([say('booking.said.done')]) };
  };

  return [
    technician('booking.way', (pressed) => byTechnician(pressed, (_tx, _row, entry) => ({ kind: 'on my way', technician: entry.id, round: roundIn(pressed) }))),
    technician('booking.here', (pressed) => byTechnician(pressed, (_tx, _row, entry) => ({ kind: 'here', technician: entry.id, round: roundIn(pressed) }))),
    technician('booking.late', askDelay, 'private'),
    technician('booking.late-by', tellDelay),
    technician('booking.part', form('booking.part-said', 'booking.form.part', wordsField('text', 'booking.form.part-ask', 60), wordsField('when', 'booking.form.part-when', 40, { hint: 'booking.form.part-hint', optional: true })), 'form'),
    technician('booking.part-said', needPart),
    technician('booking.part-is', partIs),
    technician('booking.part-not', async (pressed) => ({ kind: 'redraw', message: message([sayOf(pressed)('booking.typed.part.not')]) })),
  ];
};
