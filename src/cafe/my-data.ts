import { button, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { direct, type PersonId } from '../chat/who.ts';
import type { Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import type { Instant } from '../time/instant.ts';
import type { Say } from '../words/catalogue.ts';
import { shortened } from '../words/format.ts';
import type { CafeNeeds } from './needs.ts';
import { fittingList } from './ready-view.ts';
import { cafesOf } from './records.ts';
import type { CommandRoute, Here, PressRoute } from './subject.ts';

/** What is kept about one person, everywhere. */
export type Stored = {
  readonly cafes: readonly { readonly name: string; readonly role: string }[];
  readonly direct: boolean;
  readonly traces: readonly { readonly key: string; readonly count: number }[];
};

const storedOf = async ({ traces = [] }: CafeNeeds, tx: Tx, person: PersonId): Promise<Stored> => {
  const members = await tx.selectFrom('member').innerJoin('cafe', 'cafe.id', 'member.cafe').select(['cafe.name', 'member.role', 'member.direct_ok']).where('member.person', '=', person).orderBy('member.id').execute();
  const visits = await tx.selectFrom('technician').innerJoin('cafe', 'cafe.id', 'technician.cafe').select('cafe.name').where('technician.person', '=', person).orderBy('technician.id').execute();
  const bars = await tx.selectFrom('bar_seen').innerJoin('cafe', 'cafe.id', 'bar_seen.cafe').select('cafe.name').where('bar_seen.person', '=', person).orderBy('bar_seen.cafe').execute();
  const counted = [];
  for (const { key, count } of traces) counted.push({ key, count: await count(tx, person) });
  return {
    cafes: [...members.map(({ name, role }) => ({ name, role })), ...visits.map(({ name }) => ({ name, role: 'technician' })), ...bars.filter(({ name }) => !members.some((member) => member.name === name)).map(({ name }) => ({ name, role: 'bar' }))],
    direct: members.some(({ direct_ok }) => direct_ok === 1),
    traces: counted.filter(({ count }) => count > 0),
  };
};

const ROLE_KEYS: Readonly<Record<string, string>> = { owner: 'cafe.role.owner', bar: 'cafe.role.bar', 'bar phone': 'cafe.role.phone', technician: 'cafe.role.technician' };

export const myDataView = (stored: Stored, name: string, say: Say): Message => {
  if (stored.cafes.length === 0 && stored.traces.length === 0) return message([say('cafe.data.nothing')]);
  const more = (count: number): string => say('cafe.more', { count });
  const places = stored.cafes.map(({ name: cafe, role }) => say('cafe.data.role', { role: say(ROLE_KEYS[role] ?? 'cafe.role.bar'), cafe: shortened(cafe, 20) }));
  const lines = [
    say('cafe.data.name', { name: shortened(name, 30) }),
    ...(places.length > 0 ? [fittingList(places, more)] : []),
    ...(stored.traces.length > 0 ? [fittingList(stored.traces.map(({ key, count }) => say(key, { count })), more)] : []),
    say(stored.direct ? 'cafe.data.direct' : 'cafe.data.notDirect'),
  ];
  return message(lines, [button(say('cafe.button.forgetMe'), press('cafe.forget-ask')), ...(stored.direct ? [button(say('cafe.button.noDirect'), press('cafe.no-direct'))] : []), button(say('cafe.button.leave'), press('cafe.dismiss'))]);
};

const askView = (owned: readonly string[], say: Say): Message =>
  message(
    [say('cafe.forget.ask'), say('cafe.forget.what'), ...(owned.length > 0 ? [say('cafe.forget.owner', { names: shortened(owned.join(', '), 30) })] : [])],
    [button(say('cafe.button.forgetYes'), press('cafe.forget'), 'danger'), button(say('cafe.button.keepName'), press('cafe.my-data'))],
  );

/** Cafés that would be left without an owner. */
const onlyOwnerOf = async (tx: Tx, person: PersonId): Promise<readonly string[]> => {
  const owned = await tx.selectFrom('member').select('cafe').where('person', '=', person).where('role', '=', 'owner').execute();
  const names: string[] = [];
  for (const { cafe } of owned) {
    const other = await tx.selectFrom('member').select('id').where('cafe', '=', cafe).where('role', '=', 'owner').where('person', '!=', person).executeTakeFirst();
    const row = other ? undefined : await tx.selectFrom('cafe').select('name').where('id', '=', cafe).where('state', '!=', 'gone').executeTakeFirst();
    if (row) names.push(row.name);
  }
  return names;
};

const forget = async ({ traces = [], words }: CafeNeeds, tx: Tx, person: PersonId, now: Instant): Promise<void> => {
  for (const trace of traces) await trace.forget(tx, person, now);
  const someone = words.in('en')('cafe.someone');
  await tx.deleteFrom('member').where('person', '=', person).execute();
  await tx.deleteFrom('bar_seen').where('person', '=', person).execute();
  await tx.updateTable('technician').set({ person: null, place: null, name: someone, telephone: null, language: null, state: 'unlinked' }).where('person', '=', person).execute();
  await tx.deleteFrom('dialogue').where('person', '=', person).execute();
  await tx.updateTable('outbox').set({ state: 'dropped', redraw_at: null }).where('place', '=', direct(person)).where('state', '=', 'ready').execute();
};

/** What is stored about the one who asks. */
export const showMyData = async (needs: CafeNeeds, { by, locale }: Here): Promise<Message> => read(needs.store, async (tx) => myDataView(await storedOf(needs, tx, by.id), by.name, needs.words.in(locale)));

type Work = (tx: Tx, here: Here, say: Say) => Promise<Message>;

const route = (needs: CafeNeeds, kind: string, work: Work): PressRoute => ({
  kind,
  ack: 'update',
  right: 'anyone',
  take: async (pressed) => {
    const cafes = await read(needs.store, (tx) => cafesOf(tx, pressed.by.id));
    return { kind: 'redraw', message: await transact(needs.store, cafes.map(({ id }) => id), (tx) => work(tx, pressed, needs.words.in(pressed.locale))) };
  },
});

/** Works for anyone, also for someone who has lost every role. */
export const myDataRoutes = (needs: CafeNeeds): readonly PressRoute[] => [
  route(needs, 'cafe.my-data', async (tx, { by }, say) => myDataView(await storedOf(needs, tx, by.id), by.name, say)),
  route(needs, 'cafe.forget-ask', async (tx, { by }, say) => askView(await onlyOwnerOf(tx, by.id), say)),
  route(needs, 'cafe.no-direct', async (tx, { by }, say) => {
    await tx.updateTable('member').set({ direct_ok: 0 }).where('person', '=', by.id).execute();
    return message([say('cafe.data.noDirect')]);
  }),
  route(needs, 'cafe.forget', async (tx, { by, now }, say) => {
    await forget(needs, tx, by.id, now);
    return message([say('cafe.forgotten'), say('cafe.forgotten.facts')]);
  }),
];

/** The button of /help: what follows is for the presser alone. */
export const myDataOpenRoute = (needs: CafeNeeds): PressRoute => ({ kind: 'cafe.my-data-open', ack: 'private', right: 'anyone', take: async (pressed) => ({ kind: 'private', message: await showMyData(needs, pressed) }) });

export const myDataCommand = (needs: CafeNeeds): CommandRoute => ({ name: 'mydata', take: async (here) => ({ kind: 'private', message: await showMyData(needs, here) }) });