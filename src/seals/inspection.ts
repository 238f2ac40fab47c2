import type { SealConstants } from './constants.ts';
import { lookReasons, severities, type GroupState, type LookReason, type Severity } from './inspection-reasons.ts';

/** What to do with one group after a look; `reasons` stand gravest first. */
export type Verdict = { readonly reasons: readonly LookReason[] } & (
  | { readonly kind: 'keep'; readonly nextLookInDays: number; readonly changeInDays: number }
  | { readonly kind: 'look-again'; readonly inDays: number }
  | { readonly kind: 'order'; readonly changeInDays: number }
  | { readonly kind: 'change-now' }
  /** A technician; `byDays` from now. The group may stay in use until then. */
  | { readonly kind: 'book'; readonly byDays: number }
  | { readonly kind: 'out-of-use' }
);

const gravestOf = (reasons: readonly LookReason[]): Severity =>
  severities.findLast((severity) => reasons.some((reason) => reason.calls === severity)) ?? 'keep';

/** A reason that asks for a second look holds back a change that rests on this look alone. */
const doubted = (reasons: readonly LookReason[]): boolean =>
  reasons.some((reason) => reason.kind === 'handle-jumped') &&
  reasons
    .filter((reason) => reason.calls === 'order' || reason.calls === 'change-now')
    .every((reason) => reason.kind === 'crept-right' || reason.kind === 'against-stop' || reason.kind === 'too-thin');

const severityOf = (reasons: readonly LookReason[]): Severity => {
  const gravest = gravestOf(reasons);
  return (gravest === 'order' || gravest === 'change-now') && doubted(reasons) ? 'look-again' : gravest;
};

/** The verdict on one group. Where staff may not change seals themselves, a technician is booked instead. */
export const inspect = (state: GroupState, staffMayChange: boolean, constants: SealConstants): Verdict => {
  const reasons = lookReasons(state, constants);
  const { lookEveryDays, againAfterDays, deliveryDays } = constants.change;
  const changeInDays = state.change.inDays;
  const severity = severityOf(reasons);
  switch (severity) {
    case 'keep':
      return { kind: 'keep', reasons, nextLookInDays: Math.min(lookEveryDays, Math.max(1, changeInDays)), changeInDays };
    case 'look-again':
      return { kind: 'look-again', reasons, inDays: againAfterDays };
    case 'order':
      return staffMayChange ? { kind: 'order', reasons, changeInDays } : { kind: 'book', reasons, byDays: Math.min(changeInDays, deliveryDays) };
    case 'change-now':
      return staffMayChange ? { kind: 'change-now', reasons } : { kind: 'book', reasons, byDays: lookEveryDays };
    case 'book':
      return { kind: 'book', reasons, byDays: lookEveryDays };
    case 'out-of-use':
      return { kind: 'out-of-use', reasons };
  }
};
