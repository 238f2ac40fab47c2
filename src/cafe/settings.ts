import { button, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { closeDialogue, openDialogue } from '../store/dialogue.ts';
import { days, type Instant } from '../time/instant.ts';
import { shortened } from '../words/format.ts';
import { ask, leave, present, sayFor, SET_UP_DIALOGUE, type Talk } from './conversation.ts';
import { countryName } from './countries.ts';
import { factOf } from './facts.ts';
import { LONG_CLOSURE_DAYS } from './closures.ts';
import { houseOf, type House } from './house.ts';
import type { CafeNeeds } from './needs.ts';
import type { Note } from './question-view.ts';
import { ADD_MACHINE, machineView, REMOVE_CAFE } from './settings-view.ts';
import { regionsOf } from './regions.ts';
import { startNow, takeCalls } from './start.ts';
import type { PressRoute } from './subject.ts';
import { cafeOfPress, talking } from './talking.ts';
import { rowsOf } from './question-view.ts';
import { setGroups } from './write-fact.ts';

const showMachine = async (talk: Talk, house: House, id: string, note?: Note): Promise<Message> => {
  const { say, locale } = sayFor(talk, house);
  await closeDialogue(talk.tx, talk.here.at, SET_UP_DIALOGUE, talk.here.by.id);
  return machineView(house, id, note, say, locale);
};

const askNewMachine = async (talk: Talk, house: House): Promise<Message> => {
  const { say } = sayFor(talk, house);
  const { id, rev } = house.cafe;
  await openDialogue(talk.tx, talk.needs.ids, talk.here.now, talk.here.at, talk.here.by.id, { kind: SET_UP_DIALOGUE, ref: 'machine', cafe: id });
  const counts = ['1', '2', '3', '4'].map((count) => button(count, press('cafe.add-machine', id, String(rev), count)));
  return message([say('cafe.machine.ask'), say('cafe.hint.groups')], ...rowsOf(counts), [button(say('cafe.button.back'), press('cafe.show', id))]);
};

const askRemove = (talk: Talk, house: House): Message => {
  const { say } = sayFor(talk, house);
  const { id, name } = house.cafe;
  return message([say('cafe.remove.ask', { name: shortened(name, 30) }), say('cafe.remove.what')], [button(say('cafe.button.remove'), press('cafe.remove', id), 'danger'), button(say('cafe.button.keepCafe'), press('cafe.show', id))]);
};

/** There is nothing to choose: holidays are known for the whole country only, or the country is not known. */
const noRegions = ({ here }: Talk, { cafe: { country } }: House): Note => (country === null ? { key: 'cafe.region.no-country' } : { key: 'cafe.region.no-regions', values: { country: shortened(countryName(country, here.locale), 20) } });

/** What is chosen in the list of settings, by its value: a fact, a machine or a page. */
export const openSetting = async (talk: Talk, house: House, value: string): Promise<Message> => {
  const [head = '', id] = value.split('.');
  if (house.cafe.state === 'draft') return present(talk, house);
  if (head === 'page') return present(talk, house, undefined, Number(id));
  if (value === ADD_MACHINE) return askNewMachine(talk, house);
  if (value === REMOVE_CAFE) return askRemove(talk, house);
  if (head === 'machine' && id !== undefined) return house.machines.some((machine) => machine.id === id) ? showMachine(talk, house, id) : present(talk, house);
  const fact = factOf(head);
  if (!fact) return present(talk, house);
  if (fact.key === 'region' && regionsOf(talk.needs.countries, house.cafe.country).length === 0) return present(talk, house, noRegions(talk, house));
  await talk.tx.updateTable('cafe').set({ pending: null }).where('id', '=', house.cafe.id).execute();
  return ask(talk, { ...house, cafe: { ...house.cafe, pending: null } }, { mode: String(house.cafe.rev), fact, machine: id ?? null });
};

/** A further machine with so many groups; its other facts are asked for in time. */
export const addMachine = async (talk: Talk, house: House, count: number): Promise<Message> => {
  const { needs, tx, here } = talk;
  const id = await setGroups({ tx, ids: needs.ids, now: here.now, countries: needs.countries, by: here.by.id }, house.cafe.id, undefined, count);
  await tx.updateTable('cafe').set((eb) => ({ rev: eb('rev', '+', 1) })).where('id', '=', house.cafe.id).execute();
  await needs.onChanged(tx, house.cafe.id, here.now);
  const after = await houseOf(tx, house.cafe.id);
  return showMachine(talk, after ?? house, id, { key: 'cafe.machine.added', values: { number: (after ?? house).machines.length } });
};

/** A machine that stood for a week or more is looked at before it is used: it matters little why it stood. */
const restOf = ({ paused_at: since }: House['cafe'], state: string, now: Instant): { readonly paused_at: number | null; readonly resumed_at?: number } => {
  if (state === 'paused') return { paused_at: now };
  return { paused_at: null, ...(since !== null && now - since >= days(LONG_CLOSURE_DAYS) ? { resumed_at: now } : {}) };
};

const setState = async (talk: Talk, house: House, state: string): Promise<Message> => {
  const { needs, tx, here } = talk;
  const from = state === 'paused' ? 'live' : 'paused';
  if ((state === 'paused' || state === 'live') && house.cafe.state === from) {
    await tx.updateTable('cafe').set((eb) => ({ state, ...restOf(house.cafe, state, here.now), rev: eb('rev', '+', 1) })).where('id', '=', house.cafe.id).execute();
    await needs.onChanged(tx, house.cafe.id, here.now);
  }
  return present(talk, (await houseOf(tx, house.cafe.id)) ?? house);
};

const removeCafe = async (talk: Talk, house: House): Promise<Message> => {
  const { needs, tx, here } = talk;
  const { say } = sayFor(talk, house);
  await tx.updateTable('cafe').set({ state: 'gone', removed_at: here.now }).where('id', '=', house.cafe.id).execute();
  await tx.updateTable('timer').set({ active: 0 }).where('cafe', '=', house.cafe.id).execute();
  await tx.deleteFrom('dialogue').where('cafe', '=', house.cafe.id).execute();
  await needs.onChanged(tx, house.cafe.id, here.now);
  return message([say('cafe.removed', { name: shortened(house.cafe.name, 30) }), say('cafe.removed.again')]);
};

type Work = (talk: Talk, house: House, ids: readonly string[], picked: readonly string[]) => Promise<Message>;

const route = (needs: CafeNeeds, kind: string, work: Work): PressRoute => ({
  kind,
  ack: 'update',
  right: 'own',
  cafe: cafeOfPress,
  take: async (pressed) => ({ kind: 'redraw', message: await talking(needs, pressed, pressed.press.ids[0], (talk, house) => work(talk, house, pressed.press.ids, pressed.picked)) }),
});

/** Buttons of the summary and of the settings. */
export const settingsRoutes = (needs: CafeNeeds): readonly PressRoute[] => [
  route(needs, 'cafe.start', (talk, house) => startNow(talk, house)),
  route(needs, 'cafe.calls', (talk, house, [, answer]) => takeCalls(talk, house, answer === 'yes')),
  route(needs, 'cafe.choose', (talk, house, _ids, [value = '']) => openSetting(talk, house, value)),
  {
    kind: 'cafe.region', ack: 'private', right: 'own', cafe: cafeOfPress,
    take: async (pressed) => ({ kind: 'private', message: await talking(needs, pressed, pressed.press.ids[0], (talk, house) => openSetting(talk, house, 'region')) }),
  },
  route(needs, 'cafe.leave', (talk, house) => leave(talk, house)),
  route(needs, 'cafe.rest', (talk, house, [, state = '']) => setState(talk, house, state)),
  route(needs, 'cafe.remove', (talk, house) => removeCafe(talk, house)),
  route(needs, 'cafe.add-machine', (talk, house, [, rev, count]) => (rev === String(house.cafe.rev) && /^[1-4]$/.test(count ?? '') ? addMachine(talk, house, Number(count)) : present(talk, house))),
];
