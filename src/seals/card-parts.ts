import { machineById } from '../cafe/records.ts';
import type { PartId } from '../parts/ledger.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import type { CardRun, Who } from './card-records.ts';
import { fitScreen } from './fit-screen.ts';
import { takeFromShelf } from './shelf.ts';

/** What a card done to its end has used up. A seal is taken when it is known which one went in. */
const USES: Readonly<Record<string, PartId>> = { 'change-cartridge': 'filter-cartridge' };

/** Writes down what a card put into the machine, and takes it from the café's shelf. */
export const noteParts = async (tx: Tx, id: string, run: CardRun, by: Who, now: Instant): Promise<void> => {
  const machine = await machineById(tx, run.machine);
  if (!machine) return;
  if (run.job === 'new-screen' && run.group_number !== null) return fitScreen(tx, id, machine, run.group_number, by, now);
  const part = USES[run.job];
  if (part !== undefined) await takeFromShelf(tx, { id, cafe: run.cafe, part, at: now, by: { id: by.person, name: by.name } });
};
