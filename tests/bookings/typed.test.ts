import { describe, expect, test } from 'vitest';
import { dayWords } from '../../src/bookings/arrange.ts';
import { placeIn } from '../../src/bookings/desks.ts';
import { handleHourIn, sealIn } from '../../src/bookings/fitted-record.ts';
import { readParts } from '../../src/bookings/bring.ts';
import { dangerWhileClosing } from '../../src/bookings/close-danger.ts';
import { partNamesIn } from '../../src/bookings/part-words.ts';
import { dangerInAny } from '../../src/faults/danger-words.ts';
import { readLanguages } from '../../src/faults/languages.ts';
import { amountIn, hoursIn, pairIn } from '../../src/bookings/report.ts';
import { meantBy } from '../../src/bookings/typed-meaning.ts';
import { monthsLater } from '../../src/bookings/service-plan.ts';
import { byNeed } from '../../src/bookings/sorted.ts';
import { readTime } from '../../src/bookings/time-words.ts';
import { instant, minutes } from '../../src/time/instant.ts';
import { localDate } from '../../src/time/local-date.ts';
import { createWords, readTexts } from '../../src/words/catalogue.ts';

const words = dayWords(createWords(readTexts('config/words')).in('en'));
const NOW = instant(Date.parse('2027-03-09T09:05:00Z'));
const read = (text: string, now = NOW, zone = 'Europe/Madrid'): string => {
  const found = readTime(text, now, zone, words, minutes(60));
  return found.kind === 'time' ? `${new Date(found.span.start).toISOString().slice(0, 16)} ${(found.span.end - found.span.start) / 60_000}` : found.kind;
};

describe('a time as people type it, on Tuesday 9 March 2027 at 10:05 in Valencia', () => {
  test.each([
    ['wed 15:30', '2027-03-10T14:30 60'], ['Wednesday at 15.30', '2027-03-10T14:30 60'], ['tomorrow at 4', '2027-03-10T15:00 60'], ['today 16', '2027-03-09T15:00 60'], ['tomorrow 8', '2027-03-10T07:00 60'],
    ['thu 9 to 11', '2027-03-11T08:00 120'], ['thu 9-11', '2027-03-11T08:00 120'], ['12 march 15:30', '2027-03-12T14:30 60'], ['march 12th at 3 pm', '2027-03-12T14:00 60'], ['12/3 15h30', '2027-03-12T14:30 60'], ['12.3. 15:30', '2027-03-12T14:30 60'], ['fri 12/3 4:30', '2027-03-12T15:30 60'], ['wed 3:30', '2027-03-10T14:30 60'], ['wed 03:30', '2027-03-10T02:30 60'], ['tomorrow 9.30-11', '2027-03-10T08:30 90'],
    ['2027-04-02 10:00', '2027-04-02T08:00 60'], ['tue 9:00', '2027-03-16T08:00 60'], ['tue 11:00', '2027-03-09T10:00 60'], ['sun 28 march 15:30', '2027-03-28T13:30 60'], ['2 jan 9:00', '2028-01-02T08:00 60'],
  ])('%s', (text, meant) => expect(read(text)).toBe(meant));

  test.each([['soon', 'no time'], ['15:30', 'no day'], ['wed', 'no time'], ['today 9:00', 'past'], ['2020-01-01 9:00', 'past'], ['', 'no time'], ['wed 25:00', 'no time'], ['31 feb 10:00', 'no day'], ['30.2. 10:00', 'no day'], ['at the machine', 'no time']])('%s is not taken for a time', (text, why) => expect(read(text)).toBe(why));

  test('a time that the clock change skips is the one after it, one that comes twice the first', () => {
    expect(read('28 march 2:30')).toBe('2027-03-28T12:30 60');
    expect(read('28 march 2:30 am')).toBe('2027-03-28T01:30 60');
    expect(read('31 oct 2:30 am')).toBe('2027-10-31T00:30 60');
  });
});

test('an amount is in the smallest unit of its currency, and words are no amount', () => {
  expect([amountIn('85.50', 'EUR'), amountIn('85,5 €', 'EUR'), amountIn('€ 1 250', 'EUR'), amountIn('1200', 'JPY'), amountIn('dear', 'EUR'), amountIn('-5', 'EUR'), amountIn('10 to 20', 'EUR')]).toEqual([8550, 8550, 125_000, 1200, undefined, undefined, undefined]);
});

test('readings are taken as they are written, and a lone one is what it is now', () => {
  expect([pairIn('1.4, 1.1'), pairIn('9'), pairIn('from 1,2 to 1,0 bar'), pairIn('fine')]).toEqual([[1.4, 1.1], [null, 9], [1.2, 1], undefined]);
  expect([hoursIn('5:30, 6'), hoursIn('5:30 and 6'), hoursIn('')]).toEqual([['5:30', '6'], ['5:30', '6'], undefined]);
  expect([handleHourIn('5:30'), handleHourIn('6'), handleHourIn('half past five'), handleHourIn('12')]).toEqual([5.5, 6, undefined, undefined]);
  expect([sealIn('seal-8.5'), sealIn('seal 8 mm, marked side down'), sealIn('valve-kit'), sealIn('seal 80 mm')]).toEqual([8.5, 8, undefined, undefined]);
});

test('a place is read as maps write it, and what is not on earth is none', () => {
  expect([placeIn('39.4699, -0.3763'), placeIn('39.4699 N 0.3763 W'), placeIn('33.9 S, 151.2 E'), placeIn('91, 0'), placeIn('Valencia')]).toEqual([
    { latitude: 39.4699, longitude: -0.3763 }, { latitude: 39.4699, longitude: -0.3763 }, { latitude: -33.9, longitude: 151.2 }, undefined, undefined,
  ]);
});

test('months later is the same day, or the last of a shorter month', () => {
  const later = (date: string, months: number): string => monthsLater(localDate(date), months);
  expect([later('2027-01-31', 1), later('2028-01-31', 1), later('2027-03-31', 12), later('2027-11-15', 14), later('2028-02-29', 12)]).toEqual(['2027-02-28', '2028-02-29', '2028-03-31', '2029-01-15', '2029-02-28']);
});

test('a danger to people stands before one to things, and both before whatever is due first', () => {
  const row = (id: string, level: string, people: number, at: number) => ({ id, level, people, visit_by: at, starts_at: null, created_at: at });
  const all = [row('drip', 'can wait', 0, 1), row('flood', 'danger', 0, 5), row('stopped', 'stopped', 0, 3), row('smoke', 'danger', 1, 9)];
  expect(byNeed(all).map(({ id }) => id)).toEqual(['smoke', 'flood', 'drip', 'stopped']);
  expect(byNeed([...all].reverse()).map(({ id }) => id)).toEqual(['smoke', 'flood', 'drip', 'stopped']);
});

describe('words typed at the machine stand for buttons', () => {
  const texts = createWords(readTexts('config/words'));
  const names = partNamesIn(texts, Object.keys(readParts('config/parts.yaml').values));
  const at = NOW;
  const states = {
    asked: { kind: 'asked', technician: 'ana', answerBy: at, since: at }, agreed: { kind: 'time agreed', technician: 'ana', proposal: null, chased: false, since: at }, here: { kind: 'here', technician: 'ana', since: at }, waiting: { kind: 'waiting for a part', technician: 'ana', since: at },
  } as unknown as Readonly<Record<'asked' | 'agreed' | 'here' | 'waiting', Parameters<typeof meantBy>[2]>>;
  const meant = (text: string, state: keyof typeof states, locale = 'en'): string | undefined => {
    const found = meantBy(texts.in(locale), text, states[state], names(locale));
    return found && [found.kind, ...found.ids, found.text].filter((each) => each !== '').join(' ');
  };

  test.each([
    ["I'm finished.", 'here', 'booking.finish'], ['done', 'agreed', 'booking.finish'], ['done', 'asked', 'booking.here'], ['omw', 'agreed', 'booking.way'], ['I am here', 'agreed', 'booking.here'], ['Running 20 min late', 'agreed', 'booking.late-by 20'], ['1 hour late', 'agreed', 'booking.late-by 60'], ['a bit late', 'agreed', 'booking.late'],
    ['late', 'asked', 'booking.time'], ['later', 'agreed', 'booking.late'], ['later', 'waiting', 'booking.time'], ['later', 'here', undefined], ['see you later', 'asked', undefined], ['can’t come', 'asked', 'booking.cannot'], ["I can't make it", 'agreed', 'booking.off t'], ['I need a new coil', 'here', 'booking.part-said coil'], ['need a part', 'here', 'booking.part'], ['I need a coffee', 'here', 'booking.part-is coffee'], ['I need 5 minutes', 'here', undefined], ['i need help', 'here', undefined], ['waiting for 2 coils', 'here', 'booking.part-said 2 coils'], ['need a coil', 'agreed', undefined],
    ['I need you to ring me before you close up', 'here', undefined], ['the right one keeps dripping', 'here', undefined], ['2000 min late', 'agreed', 'booking.late'],
  ] as const)('%s, when %s', (text, state, what) => expect(meant(text, state)).toBe(what));

  test.each([['ho finito', 'here', 'booking.finish'], ['mi serve una bobina', 'here', 'booking.part-said bobina'], ['20 minuti di ritardo', 'agreed', 'booking.late-by 20'], ['non posso', 'asked', 'booking.cannot']] as const)('%s, when %s', (text, state, what) => expect(meant(text, state, 'it')).toBe(what));
});

test('a danger that a technician types while closing goes first; what was mended is asked about or taken as found', () => {
  const say = createWords(readTexts('config/words'));
  const languages = readLanguages('config/faults/phrases');
  const meant = (text: string, locale = 'en'): string => dangerWhileClosing(say.in(locale), text, (words) => dangerInAny(words, languages.get(locale), [...languages.values()]))?.when ?? 'found';
  const all = (...texts: readonly string[]) => texts.map((text) => meant(text));
  expect(all('sparks from the plug', 'it smells of gas', 'no water but sparks from the plug', 'I got a shock from it')).toEqual(['now', 'now', 'now', 'now']);
  expect(all('hose burst, new hose fitted', 'cable was burnt', 'burnt relay', 'no way to stop the smoke')).toEqual(['ask', 'ask', 'ask', 'ask']);
  expect(all('burnt relay, changed', 'dirt in the valve', 'scale, change the filter. no burning smell', 'tested, no smell of gas')).toEqual(['found', 'found', 'found', 'found']);
  expect([meant('esce fumo dalla presa', 'it'), meant('la presa era bruciata, cambiata', 'it'), meant('nessun odore di gas', 'it')]).toEqual(['now', 'ask', 'found']);
});
