import { toQuarterHour } from '../../src/seals/clock-hour.ts';
import type { SealConstants } from '../../src/seals/constants.ts';
import { creepWeeks, driftBelief, type DriftReading } from '../../src/seals/drift-belief.ts';
import { driftForecast, theilSen } from '../../src/seals/drift.ts';
import type { Random } from './random.ts';

export type DriftResult = {
  readonly held: boolean;
  readonly ratio: number;
  readonly rateError: number;
  readonly theilSenError: number;
};

/** Share of the creep that is bedding in: given, or one of the assumed. A ring read once a week, one week in five left out, until it has so many readings; then its forecast beside its truth. */
export const simulateDrift = (readings: number, quickShare: number | undefined, c: SealConstants, random: Random): DriftResult | undefined => {
  const start = c.handle.targetDegrees + c.drift.newSpreadDegrees * random.normal();
  const rate = c.drift.degreesPerWeek * Math.exp(c.drift.logSpread * random.normal());
  const quick = quickShare ?? random.pick(c.drift.quickShares);
  const at = (ageDays: number): number => start + rate * creepWeeks(ageDays, quick, c.wear);
  const seen: DriftReading[] = [];
  let ageDays = 0;
  while (seen.length < readings) {
    ageDays += 7;
    if (random.chance(0.2)) continue;
    const degrees = toQuarterHour(at(ageDays) + c.handle.readingErrorDegrees * random.normal(), c.handle.readingStepDegrees);
    seen.push({ ageDays, at: degrees >= c.handle.stopDegrees ? { kind: 'stop' } : { kind: 'angle', degrees } });
  }
  // A handle that has passed is no forecast any more: the ring is on order.
  if (at(ageDays) >= c.handle.orderDegrees) return undefined;
  const forecast = driftForecast(driftBelief(seen, undefined, c), ageDays, c.handle.orderDegrees, c);
  const heldAt = (age: number): boolean => at(age) >= c.handle.orderDegrees;
  const points = seen.map((reading) => ({ x: reading.ageDays / 7, y: reading.at.kind === 'stop' ? c.handle.stopDegrees : reading.at.degrees }));
  return {
    held: !heldAt(forecast.lowAgeDays) && (forecast.highAgeDays >= c.drift.horizonDays - 1 || heldAt(forecast.highAgeDays)),
    ratio: forecast.highAgeDays / forecast.lowAgeDays,
    rateError: Math.abs(forecast.degreesPerWeek / rate - 1),
    theilSenError: Math.abs(theilSen(points) / rate - 1),
  };
};
