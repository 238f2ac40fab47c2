import type { Say } from '../words/catalogue.ts';
import { offeredFor, optionsOf } from './facts.ts';
import { folded, isOneOf } from './fold.ts';
import { optionLabel } from './option-label.ts';
import { readClosures } from './read-closures.ts';
import { readCleaning, readHours, readWeek } from './read-hours.ts';
import { readCurrency, readName, readNumber, readPeople, readTechnician, readTelephone, readText } from './read-words.ts';
import { readRegion, readZone } from './read-zone.ts';
import { known, unread, type Asked, type Reading } from './reading.ts';

/** Options beside languages, such as "only one", have no name of their own. */
const isLanguage = (option: string): boolean => /^[a-z]{2,3}$/.test(option);

/** An option by its label, its number on a list of groups, or a plain yes or no. */
const readOption = (text: string, { fact, house, countries, languages, locale }: Asked, say: Say): string | undefined => {
  const options = offeredFor(fact, house, countries, languages);
  const byLabel = options.find((option) => folded(optionLabel(fact, option, say, locale)) === folded(text) || folded(option) === folded(text));
  if (byLabel !== undefined) return byLabel;
  const byOwnName = fact.key === 'language' || fact.key === 'second' ? options.find((option) => isLanguage(option) && folded(new Intl.DisplayNames(option, { type: 'language' }).of(option) ?? '') === folded(text)) : undefined;
  if (byOwnName !== undefined) return byOwnName;
  if (options.includes('yes') && isOneOf(text, say('cafe.words.yes'))) return 'yes';
  if (options.includes('no') && isOneOf(text, say('cafe.words.no'))) return 'no';
  const counts = say('cafe.words.counts').split('|');
  const spoken = counts.findIndex((word, i) => folded(text).split(' ').some((each) => each === word || each === String(i + 1)));
  return fact.readAs === 'groups' && spoken >= 0 ? options[spoken] : undefined;
};

const readAs = (text: string, asked: Asked, say: Say): Reading => {
  switch (asked.fact.readAs) {
    case 'name':
      return readName(text, asked);
    case 'zone':
      return readZone(text, asked, say);
    case 'region':
      return readRegion(text, asked, say);
    case 'hours':
      return readHours(text, asked, say);
    case 'week':
      return readWeek(text, asked, say);
    case 'dates':
      return readClosures(text, asked, say);
    case 'cleaning':
      return readCleaning(text, asked);
    case 'people':
      return readPeople(text, say);
    case 'technician':
      return readTechnician(text);
    case 'telephone':
      return isOneOf(text, say('cafe.words.yes')) && asked.fact.key === 'emergency' ? readOffered(asked) : readTelephone(text);
    case 'text':
      return readText(text);
    case 'number':
    case 'money':
      return readNumber(text, asked);
    case 'currency':
      return readCurrency(text);
    case 'groups':
      return unread('groups');
    case 'choice':
      return unread('choice');
  }
};

/** `yes` to a number that is offered. */
const readOffered = ({ fact, house, countries }: Asked): Reading => {
  const [offered] = optionsOf(fact, house, countries);
  return offered === undefined ? unread('telephone') : known(offered);
};

/** Words that steer whatever is being asked. */
export const readSteering = (text: string, say: Say): Reading | undefined => {
  if (isOneOf(text, say('cafe.words.back'))) return { kind: 'back' };
  if (isOneOf(text, say('cafe.words.leave'))) return { kind: 'leave' };
  return isOneOf(text, say('cafe.words.skip')) ? { kind: 'skip' } : undefined;
};

/** What a typed answer means. Nothing is taken that does not fit; what is too long is sent back whole. */
export const readAnswer = (text: string, asked: Asked, say: Say): Reading => {
  const steering = readSteering(text, say);
  if (steering) return steering;
  const option = readOption(text, asked, say);
  if (option !== undefined) return known(option);
  const reading = readAs(text, asked, say);
  const tooLong = asked.fact.most > 0 && text.length > asked.fact.most;
  // What is wrong with it helps more than how long it is.
  return tooLong && reading.kind !== 'unread' ? unread('long', { most: asked.fact.most }) : reading;
};
