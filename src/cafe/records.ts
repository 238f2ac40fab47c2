import type { Selectable } from 'kysely';
import { isDirect, type Person, type PersonId, type PlaceId } from '../chat/who.ts';
import type { Tx } from '../store/store.ts';
import type { CafeRow, GroupRow, MachineRow, MemberRow, TechnicianRow } from '../store/tables/house.ts';
import type { Role } from './roles.ts';

export type Cafe = Selectable<CafeRow>;
export type Machine = Selectable<MachineRow>;
export type Group = Selectable<GroupRow>;
export type Member = Selectable<MemberRow>;
export type Technician = Selectable<TechnicianRow>;

export const cafeById = async (tx: Tx, id: string): Promise<Cafe | undefined> => tx.selectFrom('cafe').selectAll().where('id', '=', id).executeTakeFirst();

export const cafesById = async (tx: Tx, ids: readonly string[]): Promise<readonly Cafe[]> =>
  ids.length === 0 ? [] : tx.selectFrom('cafe').selectAll().where('id', 'in', [...ids]).orderBy('id').execute();

export const cafesAt = async (tx: Tx, place: PlaceId): Promise<readonly Cafe[]> =>
  tx.selectFrom('cafe').selectAll().where('place', '=', place).where('state', '!=', 'gone').orderBy('id').execute();

/** Cafés this person is known in: as member, or as a technician they linked. */
export const cafesOf = async (tx: Tx, person: PersonId): Promise<readonly Cafe[]> => {
  const members = await tx.selectFrom('member').select('cafe').where('person', '=', person).execute();
  const visits = await tx.selectFrom('technician').select('cafe').where('person', '=', person).where('state', '=', 'linked').execute();
  const cafes = await cafesById(tx, [...new Set([...members, ...visits].map((row) => row.cafe))]);
  return cafes.filter((cafe) => cafe.state !== 'gone');
};

/** Cafés something said here can be about: the channel's, or in direct messages the person's own and those whose bar they were lately seen at. */
export const cafesHere = async (tx: Tx, place: PlaceId, person: PersonId): Promise<readonly Cafe[]> => {
  const here = await cafesAt(tx, place);
  if (here.length > 0 || !isDirect(place)) return here.length > 0 ? here : cafesOf(tx, person);
  const own = await cafesOf(tx, person);
  const bar = await tx.selectFrom('bar_seen').select('cafe').where('person', '=', person).execute();
  const more = await cafesById(tx, bar.map(({ cafe }) => cafe).filter((id) => !own.some((cafe) => cafe.id === id)));
  return [...own, ...more.filter((cafe) => cafe.state !== 'gone')];
};

export const membersOf = async (tx: Tx, cafe: string): Promise<readonly Member[]> => tx.selectFrom('member').selectAll().where('cafe', '=', cafe).orderBy('id').execute();

export const ownersOf = async (tx: Tx, cafe: string): Promise<readonly Member[]> =>
  tx.selectFrom('member').selectAll().where('cafe', '=', cafe).where('role', '=', 'owner').where('person', 'is not', null).orderBy('id').execute();

export const machinesOf = async (tx: Tx, cafe: string): Promise<readonly Machine[]> => tx.selectFrom('machine').selectAll().where('cafe', '=', cafe).orderBy('id').execute();

/** Machines of these cafés that must stay off. */
export const machinesOff = async (tx: Tx, cafes: readonly string[]): Promise<ReadonlySet<string>> =>
  new Set(cafes.length === 0 ? [] : (await tx.selectFrom('machine').select('id').where('cafe', 'in', [...cafes]).where('state', '=', 'must stay off').execute()).map(({ id }) => id));

export const machineById = async (tx: Tx, id: string): Promise<Machine | undefined> => tx.selectFrom('machine').selectAll().where('id', '=', id).executeTakeFirst();

export const groupsOf = async (tx: Tx, machine: string): Promise<readonly Group[]> =>
  tx.selectFrom('machine_group').selectAll().where('machine', '=', machine).orderBy('number').execute();

/** In the order of call. */
export const techniciansOf = async (tx: Tx, cafe: string): Promise<readonly Technician[]> =>
  tx.selectFrom('technician').selectAll().where('cafe', '=', cafe).where('state', '!=', 'unlinked').orderBy('position').orderBy('id').execute();

const isRole = (text: string): text is Role => text === 'owner' || text === 'bar' || text === 'bar phone' || text === 'technician';

/** What this person is in the café at this moment. Where the platform tells no roles, as in direct messages, the bar's role counts as it was last seen. */
export const rolesIn = async (tx: Tx, cafe: Cafe, person: Person): Promise<readonly Role[]> => {
  const rows = await tx.selectFrom('member').select('role').where('cafe', '=', cafe.id).where('person', '=', person.id).execute();
  const linked = await tx.selectFrom('technician').select('id').where('cafe', '=', cafe.id).where('person', '=', person.id).where('state', '=', 'linked').executeTakeFirst();
  const atBar = cafe.bar_role !== null && (person.roles.includes(cafe.bar_role) || (person.roles.length === 0 && (await tx.selectFrom('bar_seen').select('at').where('cafe', '=', cafe.id).where('person', '=', person.id).executeTakeFirst()) !== undefined));
  return [
    ...rows.map((row) => row.role).filter(isRole),
    ...(atBar ? (['bar'] as const) : []),
    ...(linked ? (['technician'] as const) : []),
  ];
};
