import { expect, test } from 'vitest';
import { askMessage } from '../../src/bookings/views-ask.ts';
import { plain } from '../../src/chat/message.ts';
import { instant } from '../../src/time/instant.ts';
import { createWords, readTexts } from '../../src/words/catalogue.ts';

const words = createWords(readTexts('config/words'));
const show = (locale: string) => ({ say: words.in(locale), reader: { locale, zone: 'Europe/Madrid' }, now: instant(Date.parse('2027-03-09T09:05:00Z')) });
const view = { caseId: 'case', what: 'Drips at rest, group 2', technician: 'Ana', fee: { amount: 120, currency: 'EUR' }, quiet: [], urgent: false, anyway: 'Ana comes anyway: today, 16:00. Both in one visit?', wishedBy: 'Mia' };
const linesOf = (locale: string, more = {}) => askMessage(show(locale), { ...view, ...more }).lines.map(({ text }) => plain(text));

test('whatever else there is to say to the owner, what it is about stands first', () => {
  expect(linesOf('en')).toEqual(['Drips at rest, group 2. Needs Ana.', 'Mia asks for it. About €120.', 'Ana comes anyway: today, 16:00. Both in one visit?', 'I know no quiet times. Shall I ask for any time?']);
  expect(linesOf('it')[0]).toContain('Drips at rest, group 2');
  expect(linesOf('en', { anyway: null })).toEqual(['Drips at rest, group 2. Needs Ana.', 'Mia asks for it.', 'About €120.', 'I know no quiet times. Shall I ask for any time?']);
});
