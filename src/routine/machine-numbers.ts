import { machinesOf } from '../cafe/records.ts';
import type { Tx } from '../store/store.ts';

/** Machines by their place, where a café has several; empty where there is nothing to tell apart. */
export const machineNumbers = async (tx: Tx, cafe: string): Promise<ReadonlyMap<string, number>> => {
  const machines = await machinesOf(tx, cafe);
  return new Map(machines.length < 2 ? [] : machines.map(({ id }, i) => [id, i + 1]));
};
