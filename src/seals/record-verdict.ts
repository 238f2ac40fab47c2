import { z } from 'zod';
import type { SealConstants } from './constants.ts';
import type { Fit } from './fit.ts';
import { inspect, type Verdict } from './inspection.ts';
import { beforeOf, lookOf, sinceOf, type GroupHistory, type MachineState } from './record-evidence.ts';
import type { NextStack, SealForecast } from './record-forecast.ts';

const reason = z.object({
  kind: z.string(), calls: z.string(), degrees: z.number().optional(), fromDegrees: z.number().optional(), toDegrees: z.number().optional(), neededMm: z.number().optional(),
  chance: z.number().optional(), inDays: z.number().optional(), failsBefore: z.number().optional(), why: z.string().optional(),
});

const schema = z.object({
  kind: z.enum(['keep', 'look-again', 'order', 'change-now', 'book', 'out-of-use']),
  /** Days until the next look, the second look, the change or the visit; left out where it is now. */
  inDays: z.number().optional(),
  changeInDays: z.number().optional(),
  reasons: z.array(reason),
  /** The group was out of use before this look said so. */
  wasOut: z.boolean().optional(),
  /** The handle closes to the left: what is said of sides is the other way round. */
  closesLeft: z.literal(true).optional(),
  /** The case a technician can be booked for. */
  caseId: z.string().optional(),
  /** The stack to fit, and how it compares with the one in. */
  size: z.object({ sealMm: z.number(), shimMm: z.number(), same: z.boolean(), sure: z.boolean() }).optional(),
});

/** A verdict as it was told: kept, because later readings would judge the same look otherwise. */
export type ToldVerdict = z.infer<typeof schema>;
export type ToldReason = ToldVerdict['reasons'][number];

export const readVerdict = (text: string): ToldVerdict => schema.parse(JSON.parse(text));

const daysOf = (verdict: Verdict): { inDays?: number; changeInDays?: number } => {
  switch (verdict.kind) {
    case 'keep':
      return { inDays: verdict.nextLookInDays, changeInDays: verdict.changeInDays };
    case 'look-again':
      return { inDays: verdict.inDays };
    case 'order':
      return { inDays: verdict.changeInDays, changeInDays: verdict.changeInDays };
    case 'book':
      return { inDays: verdict.byDays };
    case 'change-now':
    case 'out-of-use':
      return {};
  }
};

export type Judged = { readonly history: GroupHistory; readonly look: string; readonly state: MachineState; readonly forecast: SealForecast; readonly fit: Fit | undefined; readonly next: NextStack | undefined; readonly staffMayChange: boolean; readonly wasOut: boolean };

/** The verdict on one group whose look is already part of its history and forecast. */
export const judge = ({ history, look, state, forecast, fit, next, staffMayChange, wasOut }: Judged, constants: SealConstants, now: number): ToldVerdict => {
  const since = sinceOf(history, now);
  const before = beforeOf(history, look, state, now);
  const verdict = inspect(
    {
      look: lookOf(history.readings.filter((reading) => reading.look === look)),
      ...(since.age === undefined ? {} : { ringAgeDays: since.age }),
      ...(before === undefined ? {} : { before }),
      ...(fit === undefined ? {} : { neededMm: fit.heightMm }),
      daysSinceFelt: since.felt, wornAlready: forecast.wornAlready, endsBeforeNextLook: forecast.endsBeforeNextLook, change: forecast.change,
    },
    staffMayChange,
    constants,
  );
  return schema.parse({ kind: verdict.kind, ...daysOf(verdict), reasons: verdict.reasons, wasOut, ...(next ? { size: next } : {}), ...(history.closes === 'left' ? { closesLeft: true } : {}) });
};
