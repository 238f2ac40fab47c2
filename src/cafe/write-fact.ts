import { z } from 'zod';
import { channel, personId, placeId, type PersonId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import { weekSchema, writeWeek } from './calendar.ts';
import type { Countries } from './countries.ts';
import { isPlace, WHOLE_COUNTRY, type Fact } from './facts.ts';
import { machineIn, type House } from './house.ts';
import { withMachineFact, writeMachineFacts } from './machine-facts.ts';
import { addMember } from './members.ts';
import { readMoney, writeMoney } from './money.ts';
import { parsePlace } from './read-zone.ts';
import { groupsOf } from './records.ts';

export type Writing = { readonly tx: Tx; readonly ids: Ids; readonly now: Instant; readonly countries: Countries; readonly by: PersonId };

type CafeChange = Readonly<Record<string, string | number | null>>;

const changeCafe = async ({ tx }: Writing, id: string, change: CafeChange): Promise<void> => {
  await tx.updateTable('cafe').set(change).where('id', '=', id).execute();
};

/** Makes the machine when there is none, and its groups as many as told. Records of groups that are gone stay behind. */
export const setGroups = async ({ tx, ids, now }: Writing, cafe: string, machine: string | undefined, count: number): Promise<string> => {
  const id = machine ?? ids(now);
  if (machine === undefined) await tx.insertInto('machine').values({ id, cafe, groups: count, state: 'in use', facts: writeMachineFacts({}), created_at: now }).execute();
  else await tx.updateTable('machine').set({ groups: count }).where('id', '=', machine).execute();
  const there = new Set((await groupsOf(tx, id)).map(({ number }) => number));
  for (let number = 1; number <= count; number++)
    if (!there.has(number)) await tx.insertInto('machine_group').values({ id: ids(now), machine: id, number, state: 'in use', residue: 'clear' }).execute();
  await tx.deleteFrom('machine_group').where('machine', '=', id).where('number', '>', count).execute();
  return id;
};

/** Hours of holidays that the text names are the rule for every holiday; where it names none, what was said of them stands. */
const hoursChange = (value: string, before: string | null): CafeChange => {
  const week = weekSchema.parse(JSON.parse(value));
  if (week.holidays.length > 0) return { hours: value, holiday_rule: 'week' };
  return { hours: writeWeek({ ...week, holidays: before === null ? [] : weekSchema.parse(JSON.parse(before)).holidays }) };
};

const peopleSchema = z.union([z.object({ role: z.string() }), z.object({ people: z.array(z.object({ id: z.string(), name: z.string() })) }), z.object({ names: z.array(z.string()) })]);

const writeBar = async (writing: Writing, cafe: string, value: string): Promise<void> => {
  if (value === 'me') return;
  const given = peopleSchema.parse(JSON.parse(value));
  const { tx, ids, now } = writing;
  if ('role' in given) return changeCafe(writing, cafe, { bar_role: given.role });
  const people = 'people' in given ? given.people.map(({ id, name }) => ({ person: personId(id), name })) : given.names.map((name) => ({ person: null, name }));
  for (const each of people) await addMember(tx, ids, now, cafe, { ...each, role: 'bar' });
};

const technicianSchema = z.object({ name: z.string(), telephone: z.string() });

/** The first technician to call, where nobody is linked yet; a linked one keeps the place, the new one comes after. */
const writeTechnician = async ({ tx, ids, now }: Writing, { cafe, technicians }: House, value: string): Promise<void> => {
  const { name, telephone } = technicianSchema.parse(JSON.parse(value));
  const same = technicians.find((each) => each.state === 'named' || each.name === name);
  if (same) await tx.updateTable('technician').set({ name, telephone }).where('id', '=', same.id).execute();
  else await tx.insertInto('technician').values({ id: ids(now), cafe: cafe.id, position: (technicians.at(-1)?.position ?? 0) + 1, name, telephone, state: 'named', created_at: now }).execute();
};

const nameSchema = z.object({ name: z.string(), town: z.string() });

const writeOwn = async (writing: Writing, key: string, house: House, machine: string | null, value: string): Promise<void> => {
  const { tx, countries } = writing;
  const { id } = house.cafe;
  switch (key) {
    case 'name':
      return changeCafe(writing, id, nameSchema.parse(JSON.parse(value)));
    case 'zone': {
      const { zone, country, region } = parsePlace(value);
      return changeCafe(writing, id, { zone, country, region: region ?? (country === house.cafe.country ? house.cafe.region : null), currency: house.cafe.currency ?? (country === null ? null : (countries.get(country)?.currency ?? null)) });
    }
    case 'region':
      return changeCafe(writing, id, { region: value === WHOLE_COUNTRY ? null : value });
    case 'hours':
      return changeCafe(writing, id, hoursChange(value, house.cafe.hours));
    case 'closures':
      return changeCafe(writing, id, { exceptions: value });
    case 'cleaning':
      return changeCafe(writing, id, { cleaning_before: Number(value) });
    case 'bar':
      return writeBar(writing, id, value);
    case 'technician':
      return writeTechnician(writing, house, value);
    case 'groups':
      await setGroups(writing, id, machineIn(house, machine)?.id, Number(value));
      return;
    case 'loud':
      return changeCafe(writing, id, { loud_danger: value === 'yes' ? 1 : 0 });
    case 'direct':
      await tx.updateTable('member').set({ direct_ok: value === 'yes' ? 1 : 0 }).where('cafe', '=', id).where('person', '=', writing.by).execute();
      return;
    default:
      throw new RangeError(`not a fact: ${key}`);
  }
};

const NUMBERS = new Set(['seal', 'shim']);

/** Keeps what is now known of a fact; `value` in the form that `valueOf` and the readers have it. */
export const writeFact = async (writing: Writing, about: Fact, house: House, machine: string | null, value: string): Promise<void> => {
  const { tx } = writing;
  const { kept, key } = about;
  const on = about.of === 'machine' ? machineIn(house, machine) : undefined;
  if (kept.in === 'cafe') await changeCafe(writing, house.cafe.id, { [kept.column]: isPlace(key) ? placeOf(value) : value });
  if (key === 'channel' && house.cafe.place !== null) await moveTo(writing, house.cafe.id, house.cafe.place, placeOf(value));
  if (kept.in === 'money') await changeCafe(writing, house.cafe.id, { money: writeMoney({ ...readMoney(house.cafe.money), [kept.key]: Number(value) }) });
  if (kept.in === 'machine' && on) await tx.updateTable('machine').set({ [kept.column]: value }).where('id', '=', on.id).execute();
  if (kept.in === 'facts' && on)
    await tx.updateTable('machine').set({ facts: withMachineFact(on.facts, kept.key, NUMBERS.has(key) ? Number(value) : value) }).where('id', '=', on.id).execute();
  if (kept.in === 'own') await writeOwn(writing, key, house, machine, value);
  await tx.updateTable('cafe').set((eb) => ({ rev: eb('rev', '+', 1) })).where('id', '=', house.cafe.id).execute();
};

/** What still waits for the old channel goes to the new one. */
const moveTo = async ({ tx, now }: Writing, cafe: string, from: string, to: string): Promise<void> => {
  await tx.updateTable('outbox').set({ place: to, not_before: now, first_try_at: null, trouble: null }).where('cafe', '=', cafe).where('place', '=', from).where('state', '=', 'ready').execute();
  await tx.updateTable('reminder').set({ place: to }).where('cafe', '=', cafe).where('place', '=', from).where('state', '=', 'open').execute();
  await tx.deleteFrom('place_trouble').where('cafe', '=', cafe).where('place', '=', from).execute();
};

const placeOf = (value: string): string => (value.startsWith('c.') ? placeId(value) : channel(value));
