import type { PersonId, PlaceId } from '../chat/who.ts';
import type { Instant } from '../time/instant.ts';
import type { Ids } from './id.ts';
import type { Tx } from './store.ts';

/** What a person is being asked to answer in words at a place. `kind` is the conversation, `ref` its row and step. */
export type Dialogue = { readonly kind: string; readonly ref: string; readonly cafe: string | null };
export type OpenDialogue = Dialogue & { readonly asked_at: number };

/** Opens a matter for typed words; a matter open before at that place is put aside, its row stays. */
export const openDialogue = async (tx: Tx, ids: Ids, now: Instant, place: PlaceId, person: PersonId, dialogue: Dialogue): Promise<void> => {
  const row = { place, person, cafe: dialogue.cafe, kind: dialogue.kind, ref: dialogue.ref, asked_at: now };
  await tx
    .insertInto('dialogue')
    .values({ id: ids(now), ...row })
    .onConflict((conflict) => conflict.columns(['place', 'person']).doUpdateSet({ cafe: row.cafe, kind: row.kind, ref: row.ref, asked_at: now }))
    .execute();
};

export const dialogueOf = async (tx: Tx, place: PlaceId, person: PersonId): Promise<OpenDialogue | undefined> =>
  tx.selectFrom('dialogue').select(['kind', 'ref', 'cafe', 'asked_at']).where('place', '=', place).where('person', '=', person).executeTakeFirst();

/** Ends the open matter of that kind at a place; `person` may be left out to end it for everyone there. */
export const closeDialogue = async (tx: Tx, place: PlaceId, kind: string, person?: PersonId): Promise<void> => {
  const query = tx.deleteFrom('dialogue').where('place', '=', place).where('kind', '=', kind);
  await (person === undefined ? query : query.where('person', '=', person)).execute();
};
