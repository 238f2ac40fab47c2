import { machineById } from '../cafe/records.ts';
import type { PartId } from '../parts/ledger.ts';
import { doneAtVisit } from '../routine/at-visit.ts';
import { reckonSoon } from '../routine/reckon.ts';
import type { Ids } from '../store/id.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import type { CardRun, Who } from './card-records.ts';
import { fitScreen } from './fit-screen.ts';
import { takeFromShelf } from './shelf.ts';

type Use = { readonly part: PartId; /** The job of the routine that is done with it. */ readonly duty: string };

/** What a card done to its end has used up. A seal is taken when it is known which one went in. */
const USES: Readonly<Record<string, Use>> = { 'change-cartridge': { part: 'filter-cartridge', duty: 'cartridge' }, 'change-burrs': { part: 'burrs', duty: 'burrs' } };

/** Writes down what a card put into the machine, takes it from the café's shelf, and moves the date of the next one. */
export const noteParts = async (tx: Tx, ids: Ids, run: CardRun, by: Who, now: Instant): Promise<void> => {
  const machine = await machineById(tx, run.machine);
  if (!machine) return;
  if (run.job === 'new-screen' && run.group_number !== null) return fitScreen(tx, ids(now), machine, run.group_number, by, now);
  const use = USES[run.job];
  if (!use) return;
  await takeFromShelf(tx, { id: ids(now), cafe: run.cafe, part: use.part, at: now, by: { id: by.person, name: by.name } });
  await doneAtVisit(tx, { visit: `card.${run.id}`, cafe: run.cafe, machine: run.machine, jobs: [use.duty], at: now });
  await reckonSoon(tx, ids, run.cafe, now);
};
