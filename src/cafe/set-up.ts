import type { Countries } from './countries.ts';
import { factOf, FACTS, optionsOf, valueOf, type Fact, type Topic } from './facts.ts';
import type { House } from './house.ts';

/** The questions of the set-up in their order, and the summary. */
const ORDER = ['name', 'zone', 'hours', 'groups', 'lever', 'exhaust', 'bar', 'switch', 'emergency', 'technician'] as const;
export const READY = 'ready';

/** A lever machine has no valve that lets the pressure out into the tray: common practice, no source. */
const applies = (step: string, house: House): boolean => step !== 'exhaust' || house.machines[0]?.lever !== 'yes';

/** The question after this one, or the summary. `cleaning` belongs to the hours. */
export const stepAfter = (step: string, house: House): string => {
  if (step === 'cleaning') return 'hours';
  const at = ORDER.findIndex((each) => each === step);
  return ORDER.slice(at + 1).find((each) => applies(each, house)) ?? READY;
};

/** The question before this one; the first stays. */
export const stepBefore = (step: string, house: House): string => {
  if (step === 'cleaning') return 'hours';
  const at = step === READY ? ORDER.length : ORDER.findIndex((each) => each === step);
  return ORDER.slice(0, Math.max(at, 0)).findLast((each) => applies(each, house)) ?? ORDER[0];
};

/** Answers still to come, the start itself not counted. */
export const stepsLeft = (step: string, house: House): number => {
  const at = ORDER.findIndex((each) => each === (step === 'cleaning' ? 'hours' : step));
  return at < 0 ? 0 : ORDER.slice(at).filter((each) => applies(each, house)).length;
};

const NEEDED = new Set(['name', 'zone', 'groups']);

/**
 * May this one be left for later? What is known already may always be kept. Without a zone, groups or a name there is
 * no list; an emergency number that is one press away is not put off, since it cannot be asked for on the day.
 */
export const maySkip = (about: Fact, house: House, countries: Countries): boolean =>
  valueOf(about, house) !== undefined || (!NEEDED.has(about.key) && !(about.key === 'emergency' && optionsOf(about, house, countries).length > 0));

/** A question to be asked some week, and the machine it is about. */
export type Unknown = { readonly fact: Fact; readonly machine: string | null };

/** What is asked later, most useful first. */
const LATER = [
  'hours', 'exhaust', 'lever', 'switch', 'emergency', 'technician', 'seal', 'hardness', 'callOut', 'breaker', 'tap', 'filter', 'night', 'screen', 'feed', 'kind', 'gas', 'shim',
  'contract', 'contractWho', 'drinksDay', 'margin', 'drinksHour', 'staffHour', 'door', 'address', 'phone', 'currency', 'gasNumber',
];

const matters = ({ key }: Fact, house: House, machine: string | null): boolean => {
  const here = house.machines.find(({ id }) => id === machine);
  if (key === 'exhaust') return here?.lever !== 'yes';
  if (key === 'contractWho') return here?.contract != null && here.contract !== 'own';
  return key === 'gasNumber' ? house.machines.some(({ gas }) => gas === 'yes') : true;
};

/** Everything not known yet that a question could mend. */
export const unknowns = (house: House): readonly Unknown[] =>
  LATER.flatMap((key): readonly Unknown[] => {
    const about = factOf(key);
    if (!about) throw new Error(`no fact ${key}`);
    const spots = about.of === 'machine' ? house.machines.map(({ id }) => ({ machine: id })) : [{ machine: null }];
    return spots.filter(({ machine }) => matters(about, house, machine) && valueOf(about, house, machine) === undefined).map(({ machine }) => ({ fact: about, machine }));
  });

/** Which matters are not known yet, each once, in the order in which they are asked. */
export const unknownTopics = (house: House): readonly Topic[] => [...new Set(unknowns(house).map(({ fact }) => fact.topic))];

const isChoice = (key: string, languages: readonly string[], regions: readonly string[]): boolean => (key === 'language' || key === 'second' ? languages.length > 1 : key !== 'region' || regions.length > 0);

/** Everything the owner can change about the café itself, in the order of the list; a region only where its country has some with holidays of their own. */
export const changeable = (languages: readonly string[], regions: readonly string[]): readonly Fact[] => FACTS.filter(({ of, key }) => of === 'cafe' && isChoice(key, languages, regions));
export const changeableOfMachine: readonly Fact[] = FACTS.filter(({ of }) => of === 'machine');
