import type { Say } from '../words/catalogue.ts';
import { shortened } from '../words/format.ts';
import { isOneOf } from './fold.ts';
import { parsePeople } from './people.ts';
import { known, unread, type Asked, type Reading } from './reading.ts';

export const readName = (text: string, { house }: Asked): Reading => {
  const cut = text.lastIndexOf(',');
  const name = (cut < 0 ? text : text.slice(0, cut)).replace(/\s+/g, ' ').trim();
  const town = cut < 0 ? house.cafe.town : text.slice(cut + 1).replace(/\s+/g, ' ').trim();
  return name === '' ? unread('name') : known(JSON.stringify({ name: shortened(name, 60), town: shortened(town, 60) }));
};

/** `+34 555 0134`, `112`: digits with what people put between them. */
const TELEPHONE = /\+?\d[\d ()./-]*\d/;

export const readTelephone = (text: string): Reading => {
  const found = TELEPHONE.exec(text);
  return found && found[0].length >= 3 && text.replace(found[0], '').trim() === '' ? known(found[0].replace(/\s+/g, ' ')) : unread('telephone');
};

export const readTechnician = (text: string): Reading => {
  const found = TELEPHONE.exec(text);
  const telephone = found && found[0].replace(/\D/g, '').length >= 5 ? found[0] : undefined;
  const name = (telephone === undefined ? text : text.replace(telephone, '')).replace(/[,;:]+/g, ' ').replace(/\s+/g, ' ').trim();
  return telephone === undefined || name === '' ? unread('technician') : known(JSON.stringify({ name: shortened(name, 40), telephone: telephone.replace(/\s+/g, ' ') }));
};

export const readNumber = (text: string, { fact }: Asked): Reading => {
  const found = text.match(/\d+(?:[.,]\d+)?/g) ?? [];
  const value = Number((found[0] ?? '').replace(',', '.'));
  const [least, most] = fact.range ?? [0, Number.MAX_SAFE_INTEGER];
  return found.length === 1 && value >= least && value <= most ? known(String(value)) : unread('number', { least, most });
};

export const readCurrency = (text: string): Reading => {
  const code = text.trim().toUpperCase();
  return Intl.supportedValuesOf('currency').includes(code) ? known(code) : unread('currency');
};

export const readPeople = (text: string, say: Say): Reading => {
  if (isOneOf(text, say('cafe.words.onlyMe'))) return known('me');
  const names = parsePeople(text);
  return names.length > 0 ? known(JSON.stringify({ names })) : unread('people');
};

export const readText = (text: string): Reading => (text.trim() === '' ? unread('empty') : known(text.trim().replace(/\s+/g, ' ')));
