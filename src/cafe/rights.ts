import type { Person } from '../chat/who.ts';
import type { Tx } from '../store/store.ts';
import { cafeById, rolesIn } from './records.ts';
import { rightsOf, type Right } from './roles.ts';

/** May this person do this in that café, as things stand now? A café that is gone lets nobody do anything. */
export const mayIn = async (tx: Tx, cafeId: string, person: Person, right: Right): Promise<boolean> => {
  const cafe = await cafeById(tx, cafeId);
  return cafe !== undefined && cafe.state !== 'gone' && rightsOf(await rolesIn(tx, cafe, person)).has(right);
};
