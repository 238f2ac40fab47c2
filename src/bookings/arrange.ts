import { cafeById, type Technician } from '../cafe/records.ts';
import { mayIn } from '../cafe/rights.ts';
import type { Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { Store, Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { instant } from '../time/instant.ts';
import type { Say } from '../words/catalogue.ts';
import type { AskOff } from './ask-off.ts';
import { mayDecide } from './deciding.ts';
import { assumedVisit } from './offers.ts';
import { bookingIn, fieldOf, roundIn, wordsField, type Pressing } from './pressing.ts';
import { bookingById, elsewhereOf, type BookingRecord } from './records.ts';
import { label, ownClock, whenText } from './show.ts';
import { span as spanOf, type Span } from './span.ts';
import { isTooFar, readTime, type DayWords } from './time-words.ts';

const startIn = ({ press: { ids } }: Pressed) => instant(Number(ids[2] ?? 0));
const spanIn = (pressed: Pressed): Span => ({ start: startIn(pressed), end: instant(Number(pressed.press.ids[3] ?? startIn(pressed) + assumedVisit)) });

/** Days and months as they are written in one language. */
export const dayWords = (say: Say): DayWords => {
  const groups = (key: string): readonly (readonly string[])[] => say(key).split('; ').map((part) => part.split(' '));
  return { today: say('booking.today').split(', '), tomorrow: say('booking.tomorrow').split(', '), weekdays: groups('booking.weekdays'), months: groups('booking.months') };
};

/** Why somebody calls off, on each side; anything else is written. */
const REASONS = { t: ['ill', 'vehicle', 'no-part', 'too-full'], c: ['works-again', 'somebody-else', 'closed-then', 'too-dear'] } as const;

/** Agreeing on a time, moving it and calling it off, from both sides. */
export const createArrange = ({ store, pressing, askOff }: { readonly store: Store; readonly pressing: Pressing; readonly askOff: AskOff }): readonly PressRoute[] => {
  const { redrawn, refusal, notCured, asTechnician, byTechnician, asCafe, byCafe, form, technician, cafe, either, say: sayOf } = pressing;

  const elsewhere = (tx: Tx, row: BookingRecord, entry: Technician): Promise<readonly Span[]> => elsewhereOf(tx, entry.id, row.id);
  const withElsewhere = (kind: 'take' | 'technician accepts') => (pressed: Pressed) =>
    byTechnician(pressed, async (tx, row, entry) => ({ kind, technician: entry.id, round: roundIn(pressed), span: kind === 'take' ? spanOf(startIn(pressed), assumedVisit) : spanIn(pressed), elsewhere: await elsewhere(tx, row, entry) }));

  /** Another time in words, read on the café's clock; what cannot be read is said, and the button stays. */
  const timeSaid = async (pressed: Pressed): Promise<Answer> => {
    const say = sayOf(pressed);
    const zone = await read(store, async (tx) => {
      const row = await bookingById(tx, bookingIn(pressed));
      return row && (await cafeById(tx, row.cafe))?.zone;
    });
    if (zone === undefined) return { kind: 'redraw', message: message([say('chat.tooOld')]) };
    const found = readTime(fieldOf(pressed), pressed.now, zone, dayWords(say), assumedVisit);
    if (found.kind !== 'time') return redrawn(pressed, message([say(`booking.time.${found.kind.replaceAll(' ', '-')}`)]));
    if (isTooFar(found.span, pressed.now)) return redrawn(pressed, message([say('booking.time.far')]));
    return pressed.press.ids[2] === 't' ? technicianNames(pressed, found.span, zone) : byCafe(pressed, () => ({ kind: 'cafe offers time', round: roundIn(pressed), span: found.span }));
  };

  /** A technician whose clock shows something else is told both, so that nobody comes an hour off. */
  const technicianNames = async (pressed: Pressed, span: Span, zone: string): Promise<Answer> => {
    const say = sayOf(pressed);
    const show = { say, reader: { locale: pressed.locale, zone }, now: pressed.now };
    let own: string | null = null;
    const done = await asTechnician(pressed, async (tx, row, entry) => {
      own = ownClock(span.start, entry.zone, show);
      return { kind: 'technician offers time', technician: entry.id, round: roundIn(pressed), span, elsewhere: await elsewhere(tx, row, entry) };
    });
    const clocks = own === null ? undefined : message([say('booking.time.cafe-clock', { when: whenText(span.start, show) }), say('booking.own-clock', { time: own })]);
    return redrawn(pressed, refusal(pressed, done) ?? clocks);
  };

  const askWhy = async (pressed: Pressed): Promise<Answer> => {
    const say = sayOf(pressed);
    const [id = '', round = '', who = 'c'] = pressed.press.ids;
    const side = who === 't' ? 't' : 'c';
    const why = REASONS[side].map((reason) => button(label(say(`booking.off.${side}.${reason}`)), press('booking.off-why', id, round, side, reason)));
    return {
      kind: 'private',
      message: message([say(`booking.off.ask.${side}`)], why.slice(0, 2), why.slice(2), [button(say('booking.button.write'), press('booking.off-write', id, round, side)), button(say('booking.button.keep'), press('booking.off-keep', id, round, side))]),
    };
  };

  const callOff = async (pressed: Pressed, reason: string): Promise<Answer> => {
    const say = sayOf(pressed);
    const told = message([say('booking.off.done')]);
    if (pressed.press.ids[2] === 't') {
      const done = await asTechnician(pressed, (_tx, _row, entry) => ({ kind: 'technician calls off', technician: entry.id, round: roundIn(pressed), reason }));
      return { kind: 'redraw', message: refusal(pressed, done) ?? told };
    }
    const { done, may } = await asCafe(pressed, () => ({ kind: 'cafe calls off', round: roundIn(pressed), reason }));
    return { kind: 'redraw', message: may ? (refusal(pressed, done) ?? told) : message([say('chat.ownersOnly')]) };
  };

  const reasonIn = (pressed: Pressed): string => {
    const [, , side = 'c', reason = ''] = pressed.press.ids;
    return sayOf(pressed)(`booking.off.${side}.${reason}`);
  };

  const off = either('booking.off', askWhy, 'private');

  /** Somebody of the bar who does not decide: the owner is asked for them. Undefined: they decide, or nobody can be asked. */
  const askedOwner = async (pressed: Pressed): Promise<Answer | undefined> => {
    const row = await read(store, (tx) => bookingById(tx, bookingIn(pressed)));
    if (!row) return undefined;
    const told = await transact(store, [row.cafe], async (tx) => {
      if ((await mayDecide(tx, row.cafe, pressed, row.case_id)) || !(await mayIn(tx, row.cafe, pressed.by, 'answer'))) return undefined;
      return askOff(tx, (await bookingById(tx, row.id)) ?? row, pressed);
    });
    return told && { kind: 'private', message: told };
  };

  return [
    technician('booking.take', withElsewhere('take')),
    technician('booking.accept', withElsewhere('technician accepts')),
    technician('booking.decline', (pressed) => byTechnician(pressed, (_tx, _row, entry) => ({ kind: 'technician declines time', technician: entry.id, round: roundIn(pressed), span: spanIn(pressed) }))),
    technician('booking.cannot', (pressed) => byTechnician(pressed, (_tx, _row, entry) => ({ kind: 'cannot take', technician: entry.id, round: roundIn(pressed) }))),
    cafe('booking.c-accept', (pressed) => byCafe(pressed, async (tx, row) => ({ kind: 'cafe accepts', round: roundIn(pressed), span: spanIn(pressed), elsewhere: row.technician === null ? [] : await elsewhereOf(tx, row.technician, row.id) }))),
    cafe('booking.c-decline', (pressed) => byCafe(pressed, () => ({ kind: 'cafe declines time', round: roundIn(pressed), span: spanIn(pressed) }))),
    cafe('booking.another', (pressed) => byCafe(pressed, () => ({ kind: 'cafe asks another', round: roundIn(pressed), insteadOf: pressed.press.ids[2] ?? '' }))),
    either('booking.time', form('booking.time-said', 'booking.form.time', wordsField('text', 'booking.form.time-ask', 60)), 'form'),
    either('booking.time-said', timeSaid),
    {
      ...off,
      take: async (pressed) => (pressed.press.ids[2] === 'c' && (await askedOwner(pressed))) || off.take(pressed),
    },
    either('booking.off-why', (pressed) => callOff(pressed, reasonIn(pressed))),
    either('booking.off-write', form('booking.off-said', 'booking.form.reason', wordsField('text', 'booking.form.reason-ask', 60)), 'form'),
    either('booking.off-said', (pressed) => callOff(pressed, fieldOf(pressed, 'text', 60))),
    either('booking.off-keep', async (pressed) => ({ kind: 'redraw', message: message([sayOf(pressed)('booking.off.kept')]) })),
    // Whether it is cured is seen at the bar; asking anew for what was given up is for whoever decides.
    cafe('booking.not-cured', async (pressed) => redrawn(pressed, refusal(pressed, await notCured(pressed)))),
    cafe('booking.again', (pressed) => byCafe(pressed, () => ({ kind: 'reopen', round: roundIn(pressed), why: 'still needed' }))),
  ];
};
