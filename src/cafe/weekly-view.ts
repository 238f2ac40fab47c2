import { button, message, type Button, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { Say } from '../words/catalogue.ts';
import { shortened } from '../words/format.ts';
import type { Countries } from './countries.ts';
import { optionsOf, valueOf, type Fact } from './facts.ts';
import { type House } from './house.ts';
import { optionLabel } from './option-label.ts';
import { hintOf, rowsOf } from './question-view.ts';
import { notedNote } from './value-view.ts';

/** A question of its own week: `to` tells who is asked. */
export type Weekly = { readonly house: House; readonly fact: Fact; readonly machine: string | null; readonly to: 'owner' | 'bar'; readonly countries: Countries };

const idsOf = ({ house, fact, machine }: Weekly, value: string): readonly string[] => [house.cafe.id, fact.key, value, ...(machine === null ? [] : [machine])];

const machineLine = ({ house, machine }: Weekly, say: Say): readonly string[] => {
  if (machine === null || house.machines.length < 2) return [];
  const at = house.machines.findIndex(({ id }) => id === machine);
  return [say('cafe.question.machine', { name: house.machines[at]?.name ?? say('cafe.machine.name', { number: at + 1 }) })];
};

/** What is known by now, once it is: the question's message without its buttons. */
const answeredView = ({ house, fact, machine }: Weekly, say: Say, locale: string): Message => {
  const { key, values } = notedNote(fact, house, machine, say, locale);
  return message([say(key, values)]);
};

/** One thing that is not known yet, asked in a quiet hour. */
export const weeklyView = (weekly: Weekly, say: Say, locale: string): Message => {
  const { house, fact, machine, to, countries } = weekly;
  if (valueOf(fact, house, machine) !== undefined) return answeredView(weekly, say, locale);
  const tell = (label: string, value: string): Button => button(label, press('cafe.tell', ...idsOf(weekly, value)));
  const answers = optionsOf(fact, house, countries).slice(0, 6).map((option) => tell(optionLabel(fact, option, say, locale), option));
  const write = fact.most > 0 && fact.readAs !== 'groups' ? [button(say(fact.key === 'hours' ? 'cafe.button.writeHours' : 'cafe.button.write'), press('cafe.tell-form', ...idsOf(weekly, 'form')))] : [];
  const others = [...(to === 'owner' && fact.bar && house.cafe.place !== null ? [tell(say('cafe.button.askBar'), 'ask-bar')] : []), tell(say('cafe.button.notNow'), 'not-now')];
  const lines = [say(`cafe.ask.${fact.key}`, { town: shortened(house.cafe.town, 24) }), ...hintOf(fact, say), ...machineLine(weekly, say), ...(to === 'bar' ? [say('cafe.question.bar')] : [])];
  return message(lines, ...rowsOf([...answers, ...write]), others);
};
