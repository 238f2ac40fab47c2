import type { Form } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { Say } from '../words/catalogue.ts';
import { shortened } from '../words/format.ts';
import { valueOf, type Fact } from './facts.ts';
import type { House } from './house.ts';
import { hoursText } from './hours-format.ts';
import { weekSchema } from './calendar.ts';
import { hintOf } from './question-view.ts';

const NAME_MOST = 60;

/** The form of a café's name and town. `begin`: the ids of the press it answers. */
export const nameForm = (submit: { readonly kind: string; readonly ids: readonly string[] }, now: { readonly name?: string; readonly town?: string }, say: Say): Form => ({
  title: say('cafe.form.name'),
  submit: press(submit.kind, ...submit.ids),
  questions: [
    { key: 'name', label: say('cafe.form.cafeName'), answer: { kind: 'words', most: NAME_MOST, ...(now.name ? { now: now.name } : {}) } },
    { key: 'town', label: say('cafe.form.town'), hint: say('cafe.form.townHint'), answer: { kind: 'words', most: NAME_MOST, ...(now.town ? { now: now.town } : {}) } },
  ],
});

/** What stands in the form to be corrected: only texts that can be read back as they are. */
const presentText = (fact: Fact, house: House, machine: string | null): string | undefined => {
  const value = valueOf(fact, house, machine);
  if (value === undefined || fact.readAs === 'zone' || fact.readAs === 'region' || fact.readAs === 'week' || fact.readAs === 'dates' || fact.readAs === 'cleaning') return undefined;
  return fact.readAs === 'hours' ? hoursText(weekSchema.parse(JSON.parse(value))) : value;
};

/** One line to write: the form behind [Write it]. */
export const factForm = (fact: Fact, house: House, machine: string | null, ids: readonly string[], say: Say): Form => {
  if (fact.key === 'name') return nameForm({ kind: 'cafe.wrote', ids }, house.cafe, say);
  const now = presentText(fact, house, machine);
  const [hint] = hintOf(fact, say);
  return {
    title: shortened(say(`cafe.fact.${fact.key}`), 45),
    submit: press('cafe.wrote', ...ids),
    questions: [{ key: 'text', label: shortened(say(`cafe.fact.${fact.key}`), 45), ...(hint === undefined ? {} : { hint: shortened(hint, 100) }), answer: { kind: 'words', most: fact.most, ...(now !== undefined && now.length <= fact.most ? { now } : {}) } }],
  };
};
