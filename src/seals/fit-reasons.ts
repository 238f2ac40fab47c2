import type { SealConstants } from './constants.ts';
import { isLate, stackMm, type FitRing } from './height.ts';
import type { LeadBelief } from './lead.ts';
import type { SizeOption } from './size-option.ts';

/** What a size advice rests on, strongest first. */
export type FitReason =
  | { readonly kind: 'new-ring-readings'; readonly count: number }
  | { readonly kind: 'worn-ring-readings'; readonly count: number }
  | { readonly kind: 'shim-found'; readonly sealMm: number; readonly shimMm: number }
  | { readonly kind: 'ring-found'; readonly sealMm: number }
  | { readonly kind: 'lead'; readonly medianMm: number; readonly lowMm: number; readonly highMm: number }
  /** The stack that is in the group now, or came out last. */
  | { readonly kind: 'same-as-last' };

export const countReadings = (rings: readonly FitRing[], late: boolean, height: SealConstants['height']): number =>
  rings.flatMap((ring) => ring.readings).filter((reading) => isLate(reading, height) === late).length;

const foundReason = (found: FitRing): FitReason =>
  found.shimMm > 0
    ? { kind: 'shim-found', sealMm: found.sealMm, shimMm: found.shimMm }
    : { kind: 'ring-found', sealMm: found.sealMm };

export const fitReasons = (
  rings: readonly FitRing[],
  lead: LeadBelief,
  best: SizeOption | undefined,
  constants: SealConstants,
): readonly FitReason[] => {
  const fresh = countReadings(rings, false, constants.height);
  const worn = countReadings(rings, true, constants.height);
  const found = rings.find((ring) => ring.found);
  const last = rings[rings.length - 1];
  const same = last !== undefined && best !== undefined && stackMm(last) === stackMm(best.stack);
  return [
    ...(fresh > 0 ? [{ kind: 'new-ring-readings' as const, count: fresh }] : []),
    ...(worn > 0 ? [{ kind: 'worn-ring-readings' as const, count: worn }] : []),
    ...(found === undefined ? [] : [foundReason(found)]),
    { kind: 'lead', medianMm: lead.medianMm, lowMm: lead.lowMm, highMm: lead.highMm },
    ...(same ? [{ kind: 'same-as-last' as const }] : []),
  ];
};
