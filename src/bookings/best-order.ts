import { cafeById } from '../cafe/records.ts';
import type { Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message } from '../chat/message.ts';
import type { Store, Tx } from '../store/store.ts';
import { read } from '../store/transact.ts';
import { instant, later, minutes, type Instant } from '../time/instant.ts';
import { clockTime, listed } from '../words/format.ts';
import { nextDay } from './day-visits.ts';
import { hoursOf, spotOf } from './desks.ts';
import { assumedVisit } from './offers.ts';
import type { BookingRecord } from './records.ts';
import { routeOf, type Stop } from './route.ts';
import { fitted, type Show } from './show.ts';

/** How late an arrival may be and still keep its promise. Assumed. */
const PROMISED_WITHIN = minutes(30);

const stopOf = async (tx: Tx, row: BookingRecord): Promise<Stop | undefined> => {
  const place = await spotOf(tx, row.cafe);
  if (place === null || row.starts_at === null) return undefined;
  const start = instant(row.starts_at);
  return { id: row.id, place, promised: { start, end: later(start, PROMISED_WITHIN) }, lengthMs: row.ends_at === null ? assumedVisit : row.ends_at - row.starts_at, danger: row.level === 'danger' };
};

const leaveAt = (rows: readonly BookingRecord[], now: Instant): Instant => {
  const first = Math.min(...rows.map(({ starts_at }) => starts_at ?? Number.POSITIVE_INFINITY));
  return Number.isFinite(first) ? later(instant(Math.max(now, first - minutes(90))), 0) : now;
};

/** The shortest way that keeps every promise; where none does, which visit would be late and by how much. */
export const createBestOrder = (store: Store, showFor: (pressed: Pressed) => Show): PressRoute => {
  const order = (pressed: Pressed): Promise<Answer> =>
    read(store, async (tx) => {
      const { say, reader } = showFor(pressed);
      const { rows, zone } = await nextDay(tx, pressed);
      const from = (await hoursOf(tx, pressed.by.id)).from;
      const stops = await Promise.all(rows.map((row) => stopOf(tx, row)));
      const known = stops.filter((stop) => stop !== undefined);
      if (from === null || known.length < rows.length || rows.length < 2) return { kind: 'private', message: message([say(rows.length < 2 ? 'booking.order.one' : from === null ? 'booking.order.no-start' : 'booking.order.no-place')]) };
      const route = routeOf({ from, leaveAt: leaveAt(rows, pressed.now), stops: known, to: null });
      if (route.kind === 'too many stops') return { kind: 'private', message: message([say('booking.order.too-many')]) };
      const clock = { locale: reader.locale, zone };
      const named = await Promise.all(route.stops.map(async (stop) => ({ stop, cafe: await cafeById(tx, rows.find(({ id }) => id === stop.id)?.cafe ?? '') })));
      const names = named.map(({ stop, cafe }) => `${clockTime(stop.begin, clock)} ${cafe?.name ?? ''}`);
      const late = named.filter(({ stop }) => stop.lateMs > 0).map(({ stop, cafe }) => say('booking.order.late', { cafe: cafe?.name ?? '', minutes: Math.ceil(stop.lateMs / 60_000) }));
      return { kind: 'private', message: message([fitted(say('booking.order', { stops: listed(names, reader.locale) }), names.join(', ')), say('booking.order.km', { km: Math.round(route.km) }), ...late.slice(0, 2)]) };
    });
  return { kind: 'booking.best-order', ack: 'private', right: 'anyone', take: order };
};
