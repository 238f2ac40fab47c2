import { button, line, message, type Button, type Choice, type Line, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { Instant } from '../time/instant.ts';
import type { Say, Values } from '../words/catalogue.ts';
import { clockTime, shortened } from '../words/format.ts';
import { countryName, type Countries } from './countries.ts';
import { isPlace, offeredFor, optionsOf, valueOf, type Fact } from './facts.ts';
import { barOf, type House } from './house.ts';
import { commonClosing, hoursLines } from './hours-view.ts';
import { optionLabel } from './option-label.ts';
import type { Pending } from './pending.ts';
import { regionName, regionsOf } from './regions.ts';
import { placeLabel, placeValue } from './read-zone.ts';
import { maySkip, stepBefore } from './set-up.ts';
import { shownValue } from './value-view.ts';

/** A sentence of the catalogue with what goes into it. */
export type Note = { readonly key: string; readonly values?: Values };

/** `s`: a step of the set-up; a number: a change to a café at that revision. */
export type Mode = string;
export const SET_UP: Mode = 's';

export type Question = {
  readonly house: House;
  readonly mode: Mode;
  readonly fact: Fact;
  readonly machine: string | null;
  readonly pending: Pending | null;
  /** Said first: what was just noted, or why the last answer could not be. */
  readonly note?: Note;
  readonly now: Instant;
  readonly countries: Countries;
  readonly languages: readonly string[];
};

const idsOf = ({ house, mode, fact, machine }: Question, value: string): readonly string[] => [house.cafe.id, mode, fact.key, value, ...(machine === null ? [] : [machine])];

const answer = (question: Question, label: string, value: string, weight?: 'main'): Button => button(label, press('cafe.answer', ...idsOf(question, value)), weight);
const write = (question: Question, label: string): Button => button(label, press('cafe.write', ...idsOf(question, 'form')));

/** Rows of at most three, so that a thumb finds its button; four short ones share a row. */
export const rowsOf = (buttons: readonly Button[]): readonly (readonly Button[])[] => {
  const wide = buttons.length === 4 && buttons.every(({ label }) => label.length <= 6) ? 4 : 3;
  return Array.from({ length: Math.ceil(buttons.length / wide) }, (_, i) => buttons.slice(i * wide, (i + 1) * wide));
};

const steering = (question: Question, say: Say): readonly Button[] => {
  const { fact, mode, house, pending } = question;
  const first = mode === SET_UP && stepBefore(fact.key, house) === fact.key && pending === null;
  return [...(first ? [] : [answer(question, say('cafe.button.back'), 'back')]), answer(question, say('cafe.button.leave'), 'leave')];
};

const skipButton = (question: Question, say: Say): readonly Button[] => {
  const { fact, house, countries, machine } = question;
  if (valueOf(fact, house, machine) !== undefined && fact.key !== 'cleaning') return [answer(question, say('cafe.button.keep'), 'skip')];
  if (!maySkip(fact, house, countries)) return [];
  const label = fact.key === 'technician' ? 'cafe.button.notYet' : fact.most === 0 ? 'cafe.button.notSure' : 'cafe.button.later';
  return [answer(question, say(label), 'skip')];
};

const askBar = (question: Question, say: Say): readonly Button[] =>
  question.mode === SET_UP && question.fact.bar && question.house.cafe.place !== null && (question.house.cafe.bar_role !== null || barOf(question.house).length > 0)
    ? [button(say('cafe.button.askBar'), press('cafe.ask-bar', ...idsOf(question, 'bar')))]
    : [];

const writeLabel = ({ fact, house, countries }: Question, say: Say): string =>
  say(fact.key === 'hours' ? 'cafe.button.writeHours' : fact.key === 'emergency' && optionsOf(fact, house, countries).length > 0 ? 'cafe.button.change' : 'cafe.button.write');

const peopleRows = (question: Question, say: Say): readonly Choice[] => [
  { ask: say('cafe.pick.people'), press: press('cafe.answer', ...idsOf(question, 'people')), many: { least: 1, most: 25 }, from: 'people' },
  { ask: say('cafe.pick.role'), press: press('cafe.answer', ...idsOf(question, 'role')), from: 'roles' },
];

/** More than a list of the chat holds are written instead. */
const MOST_LISTED = 25;

const regionRows = (question: Question, say: Say): readonly Choice[] => {
  const { country } = question.house.cafe;
  const regions = regionsOf(question.countries, country);
  if (question.fact.readAs !== 'region' || regions.length === 0 || regions.length > MOST_LISTED) return [];
  return [{ ask: say('cafe.pick.region'), press: press('cafe.answer', ...idsOf(question, 'place')), from: regions.map((region) => ({ value: region, label: regionName(say, country, region) })) }];
};

const usualRows = (question: Question, say: Say, locale: string): readonly (readonly Button[] | Choice)[] => {
  const { fact, house, countries, languages } = question;
  if (isPlace(fact.key)) return [{ ask: say('cafe.pick.place'), press: press('cafe.answer', ...idsOf(question, 'place')), from: 'places' }, steering(question, say)];
  const options = offeredFor(fact, house, countries, languages);
  const given = options.slice(0, 6).map((option, i) => answer(question, optionLabel(fact, option, say, locale), option, fact.key === 'emergency' && i === 0 ? 'main' : undefined));
  const buttons = [...given, ...(fact.most > 0 && fact.readAs !== 'groups' && fact.readAs !== 'people' ? [write(question, writeLabel(question, say))] : []), ...skipButton(question, say), ...askBar(question, say)];
  return [...(fact.readAs === 'people' ? peopleRows(question, say) : []), ...regionRows(question, say), ...rowsOf(buttons), steering(question, say)];
};

/** Lines of a question nothing was read for yet: the question, an example or a reason, and what holds now. */
const usualLines = (question: Question, say: Say, locale: string): readonly string[] => {
  const { fact, house, machine, countries } = question;
  const value = valueOf(fact, house, machine);
  const now = value === undefined || fact.key === 'emergency' ? [] : [say('cafe.now', { value: shortened(shownValue(fact, value, house, say, locale), 50) })];
  const country = house.cafe.country === null ? '' : countryName(house.cafe.country, locale);
  const [number] = optionsOf(fact, house, countries);
  if (fact.key === 'emergency' && number !== undefined) return [say('cafe.ask.emergency.offered', { number, country: shortened(country, 20) })];
  return [say(`cafe.ask.${fact.key}`, { town: shortened(house.cafe.town, 24), country: shortened(country, 20) }), ...hintOf(fact, say), ...now];
};

export const hintOf = ({ key }: Fact, say: Say): readonly string[] => {
  const hint = say(`cafe.hint.${key}`);
  return hint === '-' ? [] : [hint];
};

const checkHours = (question: Question, week: Extract<Pending, { kind: 'hours' }>['week'], say: Say, locale: string): { readonly lines: readonly string[]; readonly rows: readonly (readonly Button[])[] } => {
  const closing = commonClosing(week);
  const minutes = question.house.cafe.cleaning_before;
  const start = closing === undefined ? undefined : (((closing - minutes) % 1440) + 1440) % 1440;
  const time = start === undefined ? '' : `${Math.floor(start / 60)}:${String(start % 60).padStart(2, '0')}`;
  const cleaning = say('cafe.check.cleaning', { minutes, time, known: time === '' ? 'no' : 'yes' });
  const lines = hoursLines(week, say, locale).map((each) => shortened(each, 64));
  return {
    lines: [...lines.slice(0, question.note ? 2 : 3), cleaning],
    rows: [[answer(question, say('cafe.button.thatsIt'), 'yes', 'main'), answer(question, say('cafe.button.otherStart'), 'start'), write(question, say('cafe.button.correctHours'))]],
  };
};

type Body = { readonly lines: readonly string[]; readonly rows: readonly (readonly Button[] | Choice)[] };

const checkBody = (question: Question, pending: Pending, say: Say, locale: string): Body => {
  switch (pending.kind) {
    case 'hours':
      return checkHours(question, pending.week, say, locale);
    case 'zone': {
      const time = clockTime(question.now, { locale, zone: pending.zone });
      // A café that moves is no longer where its name says.
      const moves = question.mode !== SET_UP && pending.zone !== question.house.cafe.zone;
      const town = question.house.cafe.town === '' || moves ? placeLabel(pending, locale) : question.house.cafe.town;
      const holidays = pending.region === undefined ? [] : [say('cafe.check.region', { country: shortened(placeLabel(pending, locale), 20), region: shortened(regionName(say, pending.country, pending.region), 26) })];
      return { lines: [...holidays, say('cafe.check.zone', { town: shortened(town, 30), time })], rows: [[answer(question, say('cafe.button.yes'), 'yes', 'main'), answer(question, say('cafe.button.otherTime'), 'other')]] };
    }
    case 'zones': {
      const from = pending.places.map((place) => ({ value: placeValue(place), label: placeLabel(place, locale), hint: place.zone }));
      return { lines: [say('cafe.check.zones')], rows: [{ ask: say('cafe.pick.country'), press: press('cafe.answer', ...idsOf(question, 'place')), from }, [answer(question, say('cafe.button.noneOfThese'), 'other')]] };
    }
    case 'city':
      return { lines: [say('cafe.ask.city'), say('cafe.hint.city')], rows: [[write(question, say('cafe.button.write'))]] };
  }
};

/** Does what waits for a yes belong to this question? */
export const pendingFor = ({ key }: Fact, pending: Pending | null): Pending | null => (pending !== null && (key === 'hours' ? pending.kind === 'hours' : key === 'zone' && pending.kind !== 'hours') ? pending : null);

/** A question with its buttons: a step of the set-up, or one thing to be changed. */
export const questionView = (question: Question, say: Say, locale: string): Message => {
  const pending = pendingFor(question.fact, question.pending);
  const body: Body = pending === null ? { lines: usualLines(question, say, locale), rows: usualRows(question, say, locale) } : checkBody(question, pending, say, locale);
  const first: readonly Line[] = question.note ? [line(say(question.note.key, question.note.values))] : [];
  const rows = pending === null ? body.rows : [...body.rows, steering(question, say)];
  return message([...first, ...body.lines.slice(0, 4 - first.length)], ...rows);
};

