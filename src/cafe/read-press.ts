import { writeWeek } from './calendar.ts';
import type { Spot } from './conversation.ts';
import type { Countries } from './countries.ts';
import { factOf, offeredFor } from './facts.ts';
import type { House } from './house.ts';
import { readPending, type Pending } from './pending.ts';
import { pendingFor, SET_UP, type Mode } from './question-view.ts';
import { placeValue } from './read-zone.ts';
import { known, unread, type Reading } from './reading.ts';
import { regionsOf } from './regions.ts';
import { READY } from './set-up.ts';
import type { Pressed } from './subject.ts';

/** Does a button still mean what is asked now? */
export const isPresent = ({ cafe }: House, mode: Mode, key: string): boolean => (mode === SET_UP ? cafe.state === 'draft' && (cafe.step ?? READY) === key : cafe.state !== 'draft' && mode === String(cafe.rev));

export const spotOf = ({ press }: Pick<Pressed, 'press'>): Spot | undefined => {
  const [, mode = '', key = '', , machine] = press.ids;
  const fact = factOf(key);
  return fact && { mode, fact, machine: machine ?? null };
};

const readYes = (pending: Pending): Reading => (pending?.kind === 'hours' ? known(writeWeek(pending.week)) : pending?.kind === 'zone' ? known(placeValue(pending)) : unread('choice'));

const readPicked = ({ picked, pickedNames }: Pressed, value: string): Reading => {
  const [first] = picked;
  if (first === undefined) return unread('choice');
  if (value === 'place') return known(first);
  if (value === 'role') return known(JSON.stringify({ role: first }));
  return known(JSON.stringify({ people: picked.map((id) => ({ id, name: pickedNames[id] ?? id })) }));
};

/** What a button of a question means. */
export const readPress = (pressed: Pressed, house: House, { fact }: Spot, { countries, languages }: { readonly countries: Countries; readonly languages: readonly string[] }): Reading => {
  const value = pressed.press.ids[3] ?? '';
  const pending = pendingFor(fact, readPending(house.cafe.pending));
  if (value === 'back' || value === 'leave' || value === 'skip') return { kind: value };
  if (value === 'other') return { kind: 'check', pending: pending?.kind === 'zones' ? { kind: 'city' } : null };
  if (value === 'yes' && pending) return readYes(pending);
  if (value === 'place' && fact.readAs === 'region') return regionsOf(countries, house.cafe.country).includes(pressed.picked[0] ?? '') ? known(pressed.picked[0] ?? '') : unread('choice');
  if (value === 'people' || value === 'role' || value === 'place') return readPicked(pressed, value);
  const options = offeredFor(fact, house, countries, languages);
  return options.includes(value) ? known(value) : unread('choice');
};
