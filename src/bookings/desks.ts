import { z } from 'zod';
import { spansSchema } from '../cafe/calendar.ts';
import type { Cafe, Technician } from '../cafe/records.ts';
import { vanOf } from '../parts/records.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import { plusDays, type LocalDate } from '../time/local-date.ts';
import { instantOf, localTime } from '../time/wall-time.ts';
import { assumedWorkWeek, workSpans, type Week7 } from './cafe-times.ts';
import type { Place } from './distance.ts';
import type { WorksOf } from './need.ts';
import type { Desk } from './offers.ts';
import { subtract, type Span } from './span.ts';

const AHEAD = 14;
const date = z.string().transform((text) => text as LocalDate);
const daysOffSchema = z.array(z.object({ from: date, to: date }));
export type DaysOff = z.output<typeof daysOffSchema>;

/** A technician's own hours, days off and starting place as stored; what is not said is null. */
export type Hours = { readonly works: Week7 | null; readonly onCall: Week7 | null; readonly daysOff: DaysOff; readonly from: Place | null };
const nothingSaid: Hours = { works: null, onCall: null, daysOff: [], from: null };

const weekIn = (text: string | null): Week7 | null => (text === null ? null : spansSchema.parse(JSON.parse(text)));

export const hoursOf = async (tx: Tx, person: string | null): Promise<Hours> => {
  const row = person === null ? undefined : await tx.selectFrom('technician_desk').selectAll().where('person', '=', person).executeTakeFirst();
  if (!row) return nothingSaid;
  const from = row.latitude === null || row.longitude === null ? null : { latitude: row.latitude, longitude: row.longitude };
  return { works: weekIn(row.works), onCall: weekIn(row.on_call), daysOff: daysOffSchema.parse(JSON.parse(row.days_off)), from };
};

export const putHours = async (tx: Tx, person: string, { works, onCall, daysOff, from }: Hours, now: Instant): Promise<void> => {
  const row = { works: works && JSON.stringify(works), on_call: onCall && JSON.stringify(onCall), days_off: JSON.stringify(daysOff), latitude: from?.latitude ?? null, longitude: from?.longitude ?? null, updated_at: now };
  await tx.insertInto('technician_desk').values({ person, ...row }).onConflict((conflict) => conflict.column('person').doUpdateSet(row)).execute();
};

/** Nobody is served any more: hours, place and van are nobody's business. */
export const forgetDesk = async (tx: Tx, person: string): Promise<void> => {
  await tx.deleteFrom('technician_desk').where('person', '=', person).execute();
  await tx.deleteFrom('stock_move').where('shelf', '=', vanOf(person).id).execute();
};

const offSpans = (daysOff: DaysOff, zone: string): readonly Span[] => daysOff.map(({ from, to }) => ({ start: instantOf(from, localTime('00:00'), zone), end: instantOf(plusDays(to, 1), localTime('00:00'), zone) }));

/** A technician's coming time in their own zone; working days where they have not said. */
export const deskFor = async (tx: Tx, technician: Technician, zone: string, now: Instant): Promise<Desk> => {
  const hours = await hoursOf(tx, technician.person);
  return {
    works: workSpans(hours.works ?? assumedWorkWeek, zone, now, AHEAD),
    onCall: hours.onCall === null ? [] : workSpans(hours.onCall, zone, now, AHEAD),
    daysOff: offSpans(hours.daysOff, zone), from: hours.from,
  };
};

/** When the first technician may be asked about what is no danger: not on their days off. */
export const worksFor = async (tx: Tx, technician: Technician | undefined, cafe: Pick<Cafe, 'zone'>, now: Instant): Promise<WorksOf> => {
  if (!technician) return () => undefined;
  const desk = await deskFor(tx, technician, technician.zone ?? cafe.zone, now);
  return (one) => (one.id === technician.id ? subtract([...desk.works, ...desk.onCall], desk.daysOff) : undefined);
};

export const spotOf = async (tx: Tx, cafe: string): Promise<Place | null> => (await tx.selectFrom('cafe_spot').select(['latitude', 'longitude']).where('cafe', '=', cafe).executeTakeFirst()) ?? null;

export const putSpot = async (tx: Tx, cafe: string, { latitude, longitude }: Place): Promise<void> => {
  await tx.insertInto('cafe_spot').values({ cafe, latitude, longitude }).onConflict((conflict) => conflict.column('cafe').doUpdateSet({ latitude, longitude })).execute();
};

/** "39.4699, -0.3763" as maps write it, degrees. Undefined: no place on earth. */
export const placeIn = (text: string): Place | undefined => {
  const found = /(-?\d{1,2}(?:\.\d+)?)\s*°?\s*([NS])?\s*[,; ]\s*(-?\d{1,3}(?:\.\d+)?)\s*°?\s*([EWO])?/i.exec(text.trim());
  if (!found) return undefined;
  const latitude = Number(found[1]) * (found[2]?.toUpperCase() === 'S' ? -1 : 1);
  const longitude = Number(found[3]) * (found[4]?.toUpperCase() === 'W' ? -1 : 1);
  return Math.abs(latitude) <= 90 && Math.abs(longitude) <= 180 ? { latitude, longitude } : undefined;
};
