import { button, message, type Button, type Message, type Option } from '../chat/message.ts';
import { pagedOptions } from '../chat/pages.ts';
import { press } from '../chat/press.ts';
import type { Instant } from '../time/instant.ts';
import type { Say } from '../words/catalogue.ts';
import { shortened } from '../words/format.ts';
import type { Countries } from './countries.ts';
import { machineIn, type House } from './house.ts';
import type { Tonight } from './needs.ts';
import type { Note } from './question-view.ts';
import { unknownLine, whenValues } from './ready-view.ts';
import { regionsOf } from './regions.ts';
import { changeable, changeableOfMachine } from './set-up.ts';
import { briefValue, factLine } from './value-view.ts';

export type Settings = { readonly house: House; readonly tonight: Tonight | undefined; readonly now: Instant; readonly page: number; readonly languages: readonly string[]; readonly countries: Countries; readonly note?: Note };

export const ADD_MACHINE = 'machine.add';
export const REMOVE_CAFE = 'remove';

const machineName = (house: House, id: string, say: Say): string => {
  const machine = machineIn(house, id);
  return machine?.name ?? say('cafe.machine.name', { number: house.machines.findIndex((each) => each.id === id) + 1 });
};

const optionsFor = ({ house, languages, countries }: Settings, say: Say, locale: string): readonly Option[] => [
  ...changeable(languages, regionsOf(countries, house.cafe.country))
    .filter(({ key }) => key !== 'bar')
    .map(({ key }) => ({ value: key, label: say(`cafe.fact.${key}`), hint: briefValue(key, house, null, say, locale) })),
  ...house.machines.map(({ id, groups }) => ({ value: `machine.${id}`, label: machineName(house, id, say), hint: say('cafe.machine.groups', { count: groups }) })),
  { value: ADD_MACHINE, label: say('cafe.machine.add') },
  { value: REMOVE_CAFE, label: say('cafe.remove.option') },
];

const firstLine = ({ house, tonight, now }: Settings, say: Say, locale: string): string => {
  const name = shortened(house.cafe.name, 30);
  if (house.cafe.state === 'paused') return say('cafe.settings.paused', { name });
  return tonight === undefined ? say('cafe.settings.noList', { name }) : say('cafe.settings.next', { name, ...whenValues(tonight.at, now, house, locale) });
};

const buttonsFor = ({ house }: Settings, say: Say): readonly (readonly Button[])[] => {
  const { id, state } = house.cafe;
  return [
    [button(say('cafe.button.people'), press('cafe.people', id)), button(say('cafe.button.changeJobs'), press('routine.jobs', id)), button(say('cafe.button.showTest'), press('cafe.test', id))],
    [button(say(state === 'paused' ? 'cafe.button.wake' : 'cafe.button.pause'), press('cafe.rest', id, state === 'paused' ? 'live' : 'paused')), button(say('cafe.button.leave'), press('cafe.leave', id))],
  ];
};

/** What can be changed in a café that is at work: one list, its pages, and the buttons beside it. */
export const settingsView = (settings: Settings, say: Say, locale: string): Message => {
  const { house, note, page } = settings;
  const from = pagedOptions(optionsFor(settings, say, locale), page, { earlier: say('cafe.list.earlier'), more: say('cafe.list.more') });
  const lines = [...(note ? [say(note.key, note.values)] : []), firstLine(settings, say, locale), ...unknownLine(house, say), say('cafe.settings.ask')];
  return message(lines, { ask: say('cafe.settings.pick'), press: press('cafe.choose', house.cafe.id), from }, ...buttonsFor(settings, say));
};

/** What can be changed about one machine. */
export const machineView = (house: House, id: string, note: Note | undefined, say: Say, locale: string): Message => {
  const from = changeableOfMachine.map(({ key }) => ({ value: `${key}.${id}`, label: say(`cafe.fact.${key}`), hint: briefValue(key, house, id, say, locale) }));
  const heading = say('cafe.machine.head', { name: machineName(house, id, say), count: machineIn(house, id)?.groups ?? 0 });
  return message([...(note ? [say(note.key, note.values)] : []), heading, say('cafe.settings.ask')], { ask: say('cafe.settings.pick'), press: press('cafe.choose', house.cafe.id), from }, [
    button(say('cafe.button.back'), press('cafe.show', house.cafe.id)),
    button(say('cafe.button.leave'), press('cafe.leave', house.cafe.id)),
  ]);
};

/** What those see who may not change anything. */
export const readOnlyView = (house: House, say: Say, locale: string): Message =>
  message([
    say('cafe.readOnly.head', { name: shortened(house.cafe.name, 24), town: shortened(house.cafe.town, 20) }),
    factLine('hours', house, say, locale),
    factLine('switch', house, say, locale),
    say('cafe.readOnly.owner'),
  ]);
