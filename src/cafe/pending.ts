import { z } from 'zod';
import { weekSchema } from './calendar.ts';
import type { Week } from './hours.ts';
import type { Place } from './place.ts';

/** What was read from words and waits for a yes. */
export type Pending =
  /** A place whose clock is shown, to be told right or wrong. */
  | ({ readonly kind: 'zone' } & Place)
  /** Places whose clocks show the time that was written. */
  | { readonly kind: 'zones'; readonly places: readonly Place[] }
  /** None of them: the nearest big city is asked for. */
  | { readonly kind: 'city' }
  | { readonly kind: 'hours'; readonly week: Week };

const place = { zone: z.string(), country: z.string().nullable(), region: z.string().optional() };

const schema = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('zone'), ...place }),
  z.object({ kind: z.literal('zones'), places: z.array(z.object(place)) }),
  z.object({ kind: z.literal('city') }),
  z.object({ kind: z.literal('hours'), week: weekSchema }),
]);

/** A place that waits for a yes to its clock. */
export const pendingPlace = ({ zone, country, region }: Place): Pending => ({ kind: 'zone', zone, country, ...(region === undefined ? {} : { region }) });

/** Text of the column `pending` of a café. */
export const readPending = (text: string | null): Pending | null => (text === null ? null : schema.parse(JSON.parse(text)));
export const writePending = (pending: Pending | null): string | null => (pending === null ? null : JSON.stringify(pending));
