import type { Tx } from '../store/store.ts';
import { cafeById, machinesOf, membersOf, techniciansOf, type Cafe, type Machine, type Member, type Technician } from './records.ts';

/** A café with all that belongs to it, as read in one transaction. */
export type House = {
  readonly cafe: Cafe;
  readonly machines: readonly Machine[];
  readonly members: readonly Member[];
  readonly technicians: readonly Technician[];
};

export const houseOf = async (tx: Tx, id: string): Promise<House | undefined> => {
  const cafe = await cafeById(tx, id);
  if (!cafe || cafe.state === 'gone') return undefined;
  return { cafe, machines: await machinesOf(tx, id), members: await membersOf(tx, id), technicians: await techniciansOf(tx, id) };
};

/** The machine with this id, or the first where none is named. */
export const machineIn = ({ machines }: House, id: string | null | undefined): Machine | undefined => (id ? machines.find((machine) => machine.id === id) : machines[0]);

/** People of the bar by name; accounts and first names alike. */
export const barOf = ({ members }: House): readonly Member[] => members.filter(({ role }) => role === 'bar' || role === 'bar phone');
