import { readingVariance } from './clock-hour.ts';
import type { SealConstants } from './constants.ts';
import { blurred, evenly, mean, normalised, product, quantile } from './grid.ts';
import { normalBelow, normalKernel } from './normal.ts';

/**
 * What tells of a ramp's lead. A pair: two new rings of different stack on one group (or one
 * new ring with and without its shim), both read in the same state of the machine.
 */
export type LeadEvidence =
  | {
      readonly kind: 'pair';
      readonly thinnerMm: number;
      readonly thickerMm: number;
      /** How much further right the thinner stack stood, mean of its readings against mean of the other's. */
      readonly turnedDegrees: number;
      readonly readingsThinner: number;
      readonly readingsThicker: number;
    }
  | { readonly kind: 'measured'; readonly leadMm: number };

/** Chances of a machine's lead, on a grid even in the logarithm. */
export type LeadBelief = {
  readonly leadsMm: Float64Array;
  readonly weights: Float64Array;
  readonly meanMm: number;
  readonly medianMm: number;
  readonly lowMm: number;
  readonly highMm: number;
  /** Pairs that fit no believable ramp beside the rest: to be read again. */
  readonly putAside: readonly LeadEvidence[];
};

const POINTS = 21;

type Axis = { readonly logs: Float64Array; readonly leads: Float64Array; readonly step: number };

const axisOf = (lead: SealConstants['lead']): Axis => {
  const low = Math.log(lead.lowMm);
  const high = Math.log(lead.highMm);
  const logs = evenly((low + high) / 2, (high - low) / 2, POINTS);
  return { logs, leads: logs.map(Math.exp), step: (high - low) / (POINTS - 1) };
};

const expectedAt = (evidence: LeadEvidence, leadMm: number): number =>
  evidence.kind === 'measured' ? leadMm : (360 / leadMm) * (evidence.thickerMm - evidence.thinnerMm);

const spreadAt = (evidence: LeadEvidence, leadMm: number, constants: SealConstants): number => {
  if (evidence.kind === 'measured') return constants.lead.measuredSpreadMm;
  const readings = readingVariance(constants.handle) * (1 / evidence.readingsThinner + 1 / evidence.readingsThicker);
  const rings = 2 * ((360 / leadMm) * constants.height.ringSpreadMm) ** 2;
  return Math.sqrt(readings + rings);
};

const observed = (evidence: LeadEvidence): number => (evidence.kind === 'measured' ? evidence.leadMm : evidence.turnedDegrees);

const likelihood = (evidence: LeadEvidence, axis: Axis, constants: SealConstants): Float64Array =>
  axis.leads.map((leadMm) => {
    const spread = spreadAt(evidence, leadMm, constants);
    return Math.exp(-(((observed(evidence) - expectedAt(evidence, leadMm)) / spread) ** 2) / 2) / spread;
  });

const kindPrior = (axis: Axis, lead: SealConstants['lead']): Float64Array => {
  const variance = lead.logSpread ** 2 - lead.withinKindLogSpread ** 2;
  return axis.logs.map((log) => Math.exp(-((log - Math.log(lead.medianMm)) ** 2) / (2 * variance)));
};

/** Chance of something at least as far out as this, seen from the belief without it. */
const tail = (evidence: LeadEvidence, others: Float64Array, axis: Axis, constants: SealConstants): number => {
  let below = 0;
  axis.leads.forEach((leadMm, i) => {
    const z = (observed(evidence) - expectedAt(evidence, leadMm)) / spreadAt(evidence, leadMm, constants);
    below += (others[i] as number) * normalBelow(z);
  });
  return 2 * Math.min(below, 1 - below);
};

type Sifted = { readonly kept: readonly LeadEvidence[]; readonly putAside: readonly LeadEvidence[] };

/** Puts aside, one after the other, what least fits the rest. */
const sift = (all: readonly LeadEvidence[], prior: Float64Array, axis: Axis, constants: SealConstants): Sifted => {
  const likelihoods = all.map((evidence) => likelihood(evidence, axis, constants));
  const tails = all.map((evidence, i) => {
    const others = likelihoods.filter((_, j) => j !== i);
    return tail(evidence, normalised(product([prior, ...others], POINTS)), axis, constants);
  });
  const least = Math.min(1, ...tails);
  if (least >= constants.lead.outlierChance) return { kept: all, putAside: [] };
  const worst = tails.indexOf(least);
  const rest = sift(all.filter((_, i) => i !== worst), prior, axis, constants);
  return { kept: rest.kept, putAside: [...rest.putAside, ...all.slice(worst, worst + 1)] };
};

/**
 * Belief about the lead of one machine from its own evidence and that of other machines of its kind
 * (one list for each machine). Same-size changes and worn rings are no evidence here: they tell the wear.
 */
export const leadBelief = (
  own: readonly LeadEvidence[],
  sameKind: readonly (readonly LeadEvidence[])[],
  constants: SealConstants,
): LeadBelief => {
  const axis = axisOf(constants.lead);
  const within = normalKernel(constants.lead.withinKindLogSpread / axis.step);
  const kind = kindPrior(axis, constants.lead);
  const alone = blurred(kind, within);
  const ofKind = sameKind
    .map((machine) => sift(machine, alone, axis, constants).kept.map((evidence) => likelihood(evidence, axis, constants)))
    .filter((machine) => machine.length > 0)
    .map((machine) => blurred(product(machine, POINTS), within));
  const prior = blurred(product([kind, ...ofKind], POINTS), within);
  const { kept, putAside } = sift(own, prior, axis, constants);
  const weights = normalised(product([prior, ...kept.map((evidence) => likelihood(evidence, axis, constants))], POINTS));
  const at = (share: number): number => Math.exp(quantile(axis.logs, weights, share));
  return { leadsMm: axis.leads, weights, meanMm: mean(axis.leads, weights), medianMm: at(0.5), lowMm: at(0.1), highMm: at(0.9), putAside };
};
