import type { HandlePosition } from './clock-hour.ts';
import type { SealConstants } from './constants.ts';
import { evenly, normalised } from './grid.ts';
import { normalBelow } from './normal.ts';
import { shareWorn } from './wear.ts';

/** One reading of the handle since the ring was fitted, always in the same state of the machine. */
export type DriftReading = { readonly ageDays: number; readonly at: HandlePosition };

/** Where a new ring of this stack is believed to stand, from the size advice. */
export type NewPosition = { readonly degrees: number; readonly spreadDegrees: number };

/** One way in which the handle may move: `start + rate * weeks(age)`, its weight, and how wide a cell the start stands for. */
export type Path = {
  readonly start: number;
  readonly startStep: number;
  /** Degrees a week over the first half year. */
  readonly rate: number;
  readonly quickShare: number;
  readonly weight: number;
};

const POSITIONS = 25;
const RATE_STEPS = Array.from(evenly(0, 3, 25));
const TABLE_STEP = 0.25;
const TABLE_REACH = 90;

/** Age in weeks of even creep: half a year counts 26, whatever share of it is bedding in. */
export const creepWeeks = (ageDays: number, quickShare: number, wear: SealConstants['wear']): number =>
  26 * shareWorn(ageDays, quickShare, wear.beddingDays);

type Table = (residual: number) => number;

/** A function of the residual, read off a table: readings times grid cells are many, residuals few. */
const tabled = (exact: (residual: number) => number): Table => {
  const count = (2 * TABLE_REACH) / TABLE_STEP + 1;
  const values = Float64Array.from({ length: count }, (_, i) => exact(i * TABLE_STEP - TABLE_REACH));
  return (residual) => {
    const at = Math.min(count - 1.001, Math.max(0, (residual + TABLE_REACH) / TABLE_STEP));
    const i = Math.floor(at);
    return (values[i] as number) + (at - i) * ((values[i + 1] as number) - (values[i] as number));
  };
};

/** Share of readings that are plain wrong, so that one of them cannot overrule all others. */
const SLIP = 1e-4;

type Likelihoods = { readonly angle: Table; readonly stop: Table };

/** Log chances of a rounded reading, and of "against the stop", by how far the truth lies right of them. */
const likelihoods = ({ readingErrorDegrees, readingStepDegrees }: SealConstants['handle']): Likelihoods => {
  const half = readingStepDegrees / 2;
  return {
    angle: tabled((r) => Math.log(SLIP + normalBelow((half - r) / readingErrorDegrees) - normalBelow((-half - r) / readingErrorDegrees))),
    stop: tabled((r) => Math.log(SLIP + normalBelow(r / readingErrorDegrees))),
  };
};

const degreesRead = (reading: DriftReading, stopDegrees: number): number =>
  reading.at.kind === 'stop' ? stopDegrees : reading.at.degrees;

const medianOf = (values: readonly number[]): number => values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)] as number;

/** Positions worth trying in the middle of the readings, where position and rate hardly depend on each other. */
const positionsToTry = (readings: readonly DriftReading[], from: NewPosition, stopDegrees: number): Float64Array => {
  if (readings.length === 0) return evenly(from.degrees, 4 * from.spreadDegrees, POSITIONS);
  const reach = 12 + 18 / Math.sqrt(readings.length);
  const beyond = readings.some((reading) => reading.at.kind === 'stop') ? 10 : 0;
  return evenly(medianOf(readings.map((reading) => degreesRead(reading, stopDegrees))) + beyond, reach + beyond, POSITIONS);
};

/**
 * Where the handle stood and how fast it creeps, from its readings on this ring. Rounding to the
 * clock is part of the likelihood; how much of the creep is bedding in is left open.
 */
export const driftBelief = (readings: readonly DriftReading[], expected: NewPosition | undefined, constants: SealConstants): readonly Path[] => {
  const { handle, drift, wear } = constants;
  const from = expected ?? { degrees: handle.targetDegrees, spreadDegrees: drift.newSpreadDegrees };
  const positions = positionsToTry(readings, from, handle.stopDegrees);
  const startStep = (positions[1] as number) - (positions[0] as number);
  const { angle, stop } = likelihoods(handle);
  const cells = drift.quickShares.flatMap((quickShare) => {
    const timed = readings.map((reading) => ({ weeks: creepWeeks(reading.ageDays, quickShare, wear), at: reading.at }));
    const middle = timed.reduce((sum, { weeks }) => sum + weeks, 0) / Math.max(1, timed.length);
    return RATE_STEPS.flatMap((z) => {
      const rate = drift.degreesPerWeek * Math.exp(drift.logSpread * z);
      return Array.from(positions, (position) => {
        const start = position - rate * middle;
        let log = -(z * z) / 2 - ((start - from.degrees) / from.spreadDegrees) ** 2 / 2;
        for (const { weeks, at } of timed) {
          const truth = start + rate * weeks;
          log += at.kind === 'stop' ? stop(truth - handle.stopDegrees) : angle(truth - at.degrees);
        }
        return { start, startStep, rate, quickShare, log };
      });
    });
  });
  const largest = cells.reduce((most, cell) => Math.max(most, cell.log), Number.NEGATIVE_INFINITY);
  const weights = normalised(Float64Array.from(cells, (cell) => Math.exp(cell.log - largest)));
  return cells
    .map(({ start, rate, quickShare }, i): Path => ({ start, startStep, rate, quickShare, weight: weights[i] as number }))
    .filter((path) => path.weight > 1e-8);
};
