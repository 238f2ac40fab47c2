import { personId, type PersonId } from '../chat/who.ts';
import type { Tx } from '../store/store.ts';
import type { Catalogue } from './catalogue.ts';

/** What stands in the way of a job's card, in the words of the cards. */
export type Offered = { readonly job: string; readonly gate: { readonly kind: string } };

/** In the way now, and gone by the next time before opening: the reckoning plans cold jobs for then by itself. */
const PASSES: readonly string[] = ['late', 'serving', 'apart'];
const STAYS: readonly string[] = ['stays-off', 'not-shown', 'not-here'];

/** Jobs that nobody there can do: those that cannot begin now, and cold ones for reasons that waiting does not cure. */
export const barredBy = ({ jobs }: Pick<Catalogue, 'jobs'>, offers: readonly Offered[]): readonly string[] => {
  const cold = new Set(jobs.filter(({ machine }) => machine === 'cold').map(({ id }) => id));
  return offers.filter(({ job, gate }) => STAYS.includes(gate.kind) || (PASSES.includes(gate.kind) && !cold.has(job))).map(({ job }) => job);
};

/** Barred for everyone of them: what one of them may do can be done. */
export const barredForAll = (barred: readonly (readonly string[])[]): readonly string[] => (barred[0] ?? []).filter((job) => barred.every((each) => each.includes(job)));

/** Who asks, and who was shown a job at this café. */
export const handsAt = async (tx: Tx, cafe: string, asker: PersonId): Promise<readonly PersonId[]> => {
  const shown = await tx.selectFrom('card_shown').select('person').distinct().where('cafe', '=', cafe).where('person', 'is not', null).limit(8).execute();
  return [...new Set([asker, ...shown.flatMap(({ person }) => (person === null ? [] : [personId(person)]))])];
};

/** Kept by somebody else's technician; null: the café's own, or not known. */
export const contractOf = (contract: string | null | undefined): 'warranty' | 'lease' | 'loan' | null => (contract === 'warranty' || contract === 'lease' || contract === 'loan' ? contract : null);

/** What the maker's or owner's technician must do where the machine is not the café's own: everything it is opened for. */
export const barredByContract = (jobs: readonly { readonly id: string; readonly machine: string }[], contract: string | null | undefined): readonly string[] =>
  contractOf(contract) !== null ? jobs.filter(({ machine }) => machine === 'cold').map(({ id }) => id) : [];
