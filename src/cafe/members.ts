import type { PersonId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import { folded } from './fold.ts';
import { membersOf } from './records.ts';

export type MemberRole = 'owner' | 'bar' | 'bar phone';
export type NewMember = { readonly person: PersonId | null; readonly name: string; readonly role: MemberRole; readonly language?: string };

/** Adds a person, or a first name without an account; one that is there already is left as it is. True when it was new. */
export const addMember = async (tx: Tx, ids: Ids, now: Instant, cafe: string, { person, name, role, language }: NewMember): Promise<boolean> => {
  const there = (await membersOf(tx, cafe)).some((member) => (person === null ? member.person === null && folded(member.name) === folded(name) : member.person === person));
  if (there) return false;
  await tx.insertInto('member').values({ id: ids(now), cafe, person, name, role, language: language ?? null, direct_ok: 0, created_at: now }).execute();
  return true;
};

export type RoleChange = 'changed' | 'same' | 'last-owner' | 'no-account' | 'gone';

const isLastOwner = async (tx: Tx, cafe: string, id: string): Promise<boolean> => {
  const owners = (await membersOf(tx, cafe)).filter(({ role, person }) => role === 'owner' && person !== null);
  return owners.length === 1 && owners[0]?.id === id;
};

/** Gives a member another role. The last owner stays one; a first name without an account stays at the bar. */
export const setRole = async (tx: Tx, cafe: string, id: string, role: MemberRole): Promise<RoleChange> => {
  const member = (await membersOf(tx, cafe)).find((each) => each.id === id);
  if (!member) return 'gone';
  if (member.role === role) return 'same';
  if (member.person === null) return 'no-account';
  if (await isLastOwner(tx, cafe, id)) return 'last-owner';
  // A shared account is nobody's own: what it may be told directly ends with that.
  await tx.updateTable('member').set(role === 'bar phone' ? { role, direct_ok: 0 } : { role }).where('id', '=', id).execute();
  return 'changed';
};

export const removeMember = async (tx: Tx, cafe: string, id: string): Promise<RoleChange> => {
  if (await isLastOwner(tx, cafe, id)) return 'last-owner';
  const gone = await tx.deleteFrom('member').where('id', '=', id).where('cafe', '=', cafe).returning('id').executeTakeFirst();
  return gone ? 'changed' : 'gone';
};
