import type { Countries } from './countries.ts';
import { machineIn, type House } from './house.ts';
import { ONLY_ONE } from './languages.ts';
import { readMachineFacts, type MachineFactKey } from './machine-facts.ts';
import { readMoney, type MoneyKey } from './money.ts';
import type { Cafe, Machine } from './records.ts';

/** Where what is known of a fact is kept; `own`: in a way that only this fact has. */
export type Kept =
  | { readonly in: 'cafe'; readonly column: keyof Cafe }
  | { readonly in: 'machine'; readonly column: keyof Machine }
  | { readonly in: 'facts'; readonly key: MachineFactKey }
  | { readonly in: 'money'; readonly key: MoneyKey }
  | { readonly in: 'own' };

/** How a typed answer is understood. */
export type ReadAs = 'name' | 'zone' | 'region' | 'hours' | 'week' | 'dates' | 'cleaning' | 'groups' | 'people' | 'technician' | 'telephone' | 'text' | 'number' | 'money' | 'currency' | 'choice';

/** What the fact is about, as the owner is told what is not known yet. */
export type Topic = 'hours' | 'kind' | 'bar' | 'switch' | 'breaker' | 'numbers' | 'technician' | 'seals' | 'water' | 'prices' | 'door' | 'other';

/** Something that can be known about a café or one of its machines. */
export type Fact = {
  readonly key: string;
  readonly of: 'cafe' | 'machine';
  readonly topic: Topic;
  readonly kept: Kept;
  readonly readAs: ReadAs;
  /** Values offered as buttons. */
  readonly options: readonly string[];
  /** Longest typed answer; 0 where the buttons say it all. */
  readonly most: number;
  readonly range?: readonly [number, number];
  /** Can the people at the bar tell, by looking? */
  readonly bar: boolean;
};

type More = Partial<Pick<Fact, 'options' | 'most' | 'range' | 'bar'>>;
const fact = (key: string, of: Fact['of'], topic: Topic, kept: Kept, readAs: ReadAs, more: More = {}): Fact => ({ key, of, topic, kept, readAs, options: [], most: readAs === 'choice' ? 0 : 120, bar: false, ...more });

const own: Kept = { in: 'own' };
const cafe = (column: keyof Cafe): Kept => ({ in: 'cafe', column });
const machine = (column: keyof Machine): Kept => ({ in: 'machine', column });
const facts = (key: MachineFactKey): Kept => ({ in: 'facts', key });
const money = (key: MoneyKey): Kept => ({ in: 'money', key });
const yesNo = ['yes', 'no'];

/** For a café that keeps to the holidays of its country alone. */
export const WHOLE_COUNTRY = 'none';

/** Everything that is asked, in the order in which it is listed. Seal sizes: common practice, no source. */
export const FACTS: readonly Fact[] = [
  fact('name', 'cafe', 'other', own, 'name', { most: 120 }),
  fact('zone', 'cafe', 'hours', own, 'zone', { most: 60 }),
  fact('region', 'cafe', 'hours', own, 'region', { options: [WHOLE_COUNTRY], most: 60 }),
  fact('hours', 'cafe', 'hours', own, 'hours', { most: 200 }),
  fact('cleaning', 'cafe', 'hours', own, 'cleaning', { options: ['0', '15', '30', '45', '60'], most: 20 }),
  fact('nudge', 'cafe', 'other', cafe('nudge_minutes'), 'choice', { options: ['0', '15', '30', '60'] }),
  fact('closures', 'cafe', 'hours', own, 'dates', { most: 200 }),
  fact('quiet', 'cafe', 'other', cafe('quiet'), 'week', { most: 200 }),
  fact('rush', 'cafe', 'other', cafe('rush'), 'week', { most: 200 }),
  fact('bar', 'cafe', 'bar', own, 'people', { options: ['me'], most: 200 }),
  fact('switch', 'cafe', 'switch', cafe('switch_off'), 'text', { bar: true }),
  fact('breaker', 'cafe', 'breaker', cafe('breaker'), 'text', { bar: true }),
  fact('tap', 'cafe', 'breaker', cafe('water_tap'), 'text', { bar: true }),
  fact('emergency', 'cafe', 'numbers', cafe('emergency'), 'telephone', { most: 20 }),
  fact('gasNumber', 'cafe', 'numbers', cafe('gas_emergency'), 'telephone', { most: 30 }),
  fact('poison', 'cafe', 'numbers', cafe('poison_line'), 'telephone', { most: 30 }),
  fact('technician', 'cafe', 'technician', own, 'technician', { most: 80 }),
  fact('callOut', 'cafe', 'prices', money('callOut'), 'money', { most: 20, range: [0, 5000] }),
  fact('outOfHoursExtra', 'cafe', 'prices', money('outOfHoursExtra'), 'money', { most: 20, range: [0, 5000] }),
  fact('cancelFee', 'cafe', 'prices', money('cancelFee'), 'money', { most: 20, range: [0, 5000] }),
  fact('staffHour', 'cafe', 'prices', money('staffHour'), 'money', { most: 20, range: [0, 500] }),
  fact('margin', 'cafe', 'prices', money('margin'), 'money', { most: 20, range: [0, 100] }),
  fact('drinksDay', 'cafe', 'prices', money('drinksDay'), 'number', { most: 20, range: [1, 5000], bar: true }),
  fact('drinksHour', 'cafe', 'prices', money('drinksHour'), 'number', { most: 20, range: [1, 1000], bar: true }),
  fact('currency', 'cafe', 'prices', cafe('currency'), 'currency', { most: 20 }),
  fact('night', 'cafe', 'other', cafe('off_at_night'), 'choice', { options: yesNo, bar: true }),
  fact('door', 'cafe', 'door', cafe('door'), 'text'),
  fact('address', 'cafe', 'door', cafe('address'), 'text'),
  fact('phone', 'cafe', 'door', cafe('telephone'), 'telephone', { most: 30 }),
  fact('direct', 'cafe', 'other', own, 'choice', { options: yesNo }),
  fact('loud', 'cafe', 'other', own, 'choice', { options: yesNo }),
  fact('channel', 'cafe', 'other', cafe('place'), 'choice'),
  fact('ownerChannel', 'cafe', 'other', cafe('owner_place'), 'choice'),
  fact('language', 'cafe', 'other', cafe('language'), 'choice'),
  fact('second', 'cafe', 'other', cafe('second_language'), 'choice'),
  fact('groups', 'machine', 'kind', own, 'groups', { options: ['1', '2', '3', '4'], most: 20 }),
  fact('lever', 'machine', 'kind', machine('lever'), 'choice', { options: ['no', 'yes'], bar: true }),
  fact('exhaust', 'machine', 'kind', machine('exhaust'), 'choice', { options: yesNo, bar: true }),
  fact('seal', 'machine', 'seals', facts('seal'), 'number', { options: ['8', '8.5', '7', '6'], most: 20, range: [4, 12], bar: true }),
  fact('shim', 'machine', 'seals', facts('shim'), 'number', { options: ['0', '0.5', '1'], most: 20, range: [0, 3], bar: true }),
  fact('screen', 'machine', 'seals', facts('screen'), 'choice', { options: ['screw', 'seal', 'block'], bar: true }),
  fact('hardness', 'machine', 'water', facts('hardness'), 'text', { most: 40, bar: true }),
  fact('filter', 'machine', 'water', facts('filter'), 'choice', { options: ['none', 'resin', 'softener', 'carbon', 'osmosis', 'salt softener'], bar: true }),
  fact('feed', 'machine', 'water', machine('feed'), 'choice', { options: ['mains', 'tank'], bar: true }),
  fact('kind', 'machine', 'kind', machine('kind'), 'choice', { options: ['HX', 'SB', 'SAT', '1B', 'TB', 'LV'], bar: true }),
  fact('gas', 'machine', 'kind', machine('gas'), 'choice', { options: ['no', 'yes'], bar: true }),
  fact('contract', 'machine', 'kind', machine('contract'), 'choice', { options: ['own', 'warranty', 'lease', 'loan'] }),
  fact('contractWho', 'machine', 'kind', facts('contractWho'), 'text', { most: 36 }),
  fact('plate', 'machine', 'other', facts('plate'), 'text', { bar: true }),
];

/** Is what is known of it a place of the chat? */
export const isPlace = (key: string): boolean => key === 'channel' || key === 'ownerChannel';

export const factOf = (key: string): Fact | undefined => FACTS.find((each) => each.key === key);

/** Zone of a café whose own is not known yet. */
export const NO_ZONE = 'UTC';

const ownValue = (key: string, house: House, on: Machine | undefined): string | undefined => {
  const { cafe: row } = house;
  switch (key) {
    case 'name':
      return row.town === '' ? row.name : `${row.name}, ${row.town}`;
    case 'zone':
      return row.zone === NO_ZONE ? undefined : row.zone;
    case 'region':
      return row.region ?? undefined;
    case 'hours':
      return row.hours ?? undefined;
    case 'closures':
      return row.exceptions === '[]' ? undefined : row.exceptions;
    case 'cleaning':
      return String(row.cleaning_before);
    case 'bar':
      return house.members.some(({ role }) => role !== 'owner') || row.bar_role !== null ? 'people' : undefined;
    case 'technician':
      return house.technicians[0] && [house.technicians[0].name, house.technicians[0].telephone].filter(Boolean).join(' ');
    case 'groups':
      return on && String(on.groups);
    case 'direct':
      return house.members.some(({ role, direct_ok }) => role === 'owner' && direct_ok === 1) ? 'yes' : 'no';
    case 'loud':
      return row.loud_danger === 1 ? 'yes' : 'no';
    default:
      throw new RangeError(`not a fact: ${key}`);
  }
};

/** What is known of a fact, as its canonical text; undefined: not known. */
export const valueOf = ({ key, kept, of }: Fact, house: House, machineId?: string | null): string | undefined => {
  const on = of === 'machine' ? machineIn(house, machineId) : undefined;
  switch (kept.in) {
    case 'cafe':
      return house.cafe[kept.column]?.toString() ?? undefined;
    case 'machine':
      return on?.[kept.column]?.toString() ?? undefined;
    case 'facts':
      return on && readMachineFacts(on.facts)[kept.key]?.toString();
    case 'money':
      return readMoney(house.cafe.money)[kept.key]?.toString();
    case 'own':
      return ownValue(key, house, on);
  }
};

/** Values offered as buttons for this café: those of the fact, or what its country has. */
export const optionsOf = (about: Fact, house: House, countries: Countries): readonly string[] => {
  const country = house.cafe.country === null ? undefined : countries.get(house.cafe.country);
  if (about.key === 'emergency') return country?.emergency ?? [];
  if (about.key === 'currency') return [...new Set([...(country ? [country.currency] : []), 'EUR'])];
  return about.options;
};

/** The same with the languages there are texts in. */
export const offeredFor = (about: Fact, house: House, countries: Countries, languages: readonly string[]): readonly string[] => {
  if (about.key === 'language') return languages;
  if (about.key === 'second') return [...languages.filter((each) => each !== house.cafe.language), ONLY_ONE];
  return optionsOf(about, house, countries);
};
