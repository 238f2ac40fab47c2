import { cafeById, machineById, type Cafe, type Machine } from '../cafe/records.ts';
import type { Here } from '../cafe/subject.ts';
import { message, type Message } from '../chat/message.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import type { LookDesk } from './look-desk.ts';
import type { GroupNow } from './record-reckon.ts';

/** One group of a machine, as a press names it. */
export type Spot = { readonly cafe: Cafe; readonly machine: Machine; readonly group: number };

/** From what a press carries to the group it means. */
export const createSpots = (desk: LookDesk) => {
  const { words } = desk.needs;
  const none = (here: Here): Message => message([words.in(here.locale)('look.gone')]);

  const spotOf = async (tx: Tx, ids_: readonly string[]): Promise<Spot | undefined> => {
    const machine = await machineById(tx, ids_[0] ?? '');
    const cafe = machine && (await cafeById(tx, machine.cafe));
    const group = Number(ids_[1]);
    return machine && cafe && Number.isInteger(group) ? { cafe, machine, group } : undefined;
  };

  const groupNow = (tx: Tx, { cafe, machine, group }: Spot, now: Instant): Promise<GroupNow | undefined> => desk.reckoner.groupNow(tx, cafe, machine, group, now);

  return { none, spotOf, groupNow };
};
