import { instant } from '../time/instant.ts';
import type { Say } from '../words/catalogue.ts';
import { listed, money, shortDate, shortened } from '../words/format.ts';
import { readExceptions, spansSchema, weekSchema } from './calendar.ts';
import { factOf, isPlace, valueOf, type Fact } from './facts.ts';
import { barOf, type House } from './house.ts';
import { hoursLines, openLines, spansText } from './hours-view.ts';
import { regionName } from './regions.ts';
import { optionLabel } from './option-label.ts';

const moneyText = (value: string, house: House, locale: string): string => (house.cafe.currency === null ? value : money(Number(value), house.cafe.currency, locale));

const barText = (house: House, say: Say, locale: string): string => {
  const names = barOf(house).map(({ name }) => name);
  return listed([...(house.cafe.bar_role === null ? [] : [say('cafe.people.role')]), ...names], locale);
};

const weekText = (value: string, say: Say, locale: string): string => {
  const days = spansSchema.parse(JSON.parse(value));
  return days.every((spans) => spans.length === 0) ? say('cafe.none') : openLines({ days, holidays: [] }, say, locale).join(' ');
};

const dayText = (date: string, locale: string): string => shortDate(instant(Date.parse(date)), { locale, zone: 'UTC' });

/** `Fri 24 Dec to Sun 26 Dec closed, Fri 31 Dec 8:00 to 14:00`. */
const closuresText = (value: string, say: Say, locale: string): string =>
  readExceptions(value)
    .map((each) => {
      if (each.kind === 'open') return `${dayText(each.date, locale)} ${spansText(each.spans, say)}`;
      const days = each.from === each.to ? dayText(each.from, locale) : say('cafe.hours.fromTo', { from: dayText(each.from, locale), to: dayText(each.to, locale) });
      return say('cafe.hours.closed', { days });
    })
    .join(', ');

/** What is known of a fact, as people say it, on one line of any length. */
export const shownValue = (fact: Fact, value: string, house: House, say: Say, locale: string): string => {
  switch (fact.readAs) {
    case 'hours':
      return hoursLines(weekSchema.parse(JSON.parse(value)), say, locale).join(' ');
    case 'week':
      return weekText(value, say, locale);
    case 'dates':
      return closuresText(value, say, locale);
    case 'region':
      return regionName(say, house.cafe.country, value);
    case 'people':
      return barText(house, say, locale);
    case 'money':
      return moneyText(value, house, locale);
    case 'cleaning':
      return say('cafe.option.cleaning', { minutes: Number(value) });
    case 'choice':
      return isPlace(fact.key) ? say('cafe.channel.known') : optionLabel(fact, value, say, locale);
    case 'number':
      return fact.of === 'machine' ? say('cafe.option.millimetres', { mm: Number(value) }) : value;
    case 'name':
    case 'zone':
    case 'groups':
    case 'technician':
    case 'telephone':
    case 'text':
    case 'currency':
      return value;
  }
};

/** The value now known, cut to fit a list, or that it is not known yet. */
export const briefValue = (key: string, house: House, machine: string | null, say: Say, locale: string, most = 90): string => {
  const fact = factOf(key);
  const value = fact && valueOf(fact, house, machine);
  return fact && value !== undefined ? shortened(shownValue(fact, value, house, say, locale), most) : say('cafe.notKnown');
};

const LINE = 64;

/** `Noted. Off switch: under the till`, on one line; a long value stands without its name. */
export const notedNote = (fact: Fact, house: House, machine: string | null, say: Say, locale: string): { readonly key: string; readonly values: Readonly<Record<string, string>> } => {
  const name = say(`cafe.fact.${fact.key}`);
  const named = { fact: name, value: briefValue(fact.key, house, machine, say, locale, 200) };
  if (say('cafe.noted', named).length <= LINE) return { key: 'cafe.noted', values: named };
  return { key: 'cafe.notedBrief', values: { value: briefValue(fact.key, house, machine, say, locale, LINE - say('cafe.notedBrief', { value: '' }).length) } };
};

/** `Off switch: under the till`, on one line. */
export const factLine = (key: string, house: House, say: Say, locale: string): string => {
  const name = say(`cafe.fact.${key}`);
  return say('cafe.readOnly.fact', { fact: name, value: briefValue(key, house, null, say, locale, LINE - say('cafe.readOnly.fact', { fact: name, value: '' }).length) });
};
