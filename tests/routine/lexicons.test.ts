import { expect, test } from 'vitest';
import { asksToday, readLexicons } from '../../src/routine/lexicons.ts';

const lexicons = [...readLexicons('config/replies').values()];

test.each(['today', "What's open?", 'what’s open', 'How is the machine?', 'oggi', 'Come sta la macchina?', "cosa c'è da fare?"])('%s asks how things stand', (text) => {
  expect(asksToday(text, lexicons)).toBe(true);
});

test.each(['today the left group drips', 'how is the machine switched off?', 'done', '', '?'])('%s does not', (text) => {
  expect(asksToday(text, lexicons)).toBe(false);
});
