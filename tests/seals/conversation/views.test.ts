import { describe, expect, test } from 'vitest';
import { problemsOf } from '../../../src/chat/limits.ts';
import { plain, type Message } from '../../../src/chat/message.ts';
import { outMessage, planMessage, resultMessage, seenText, verdictLine, whyMessage, type GroupVerdict } from '../../../src/seals/look-views.ts';
import type { ToldVerdict } from '../../../src/seals/record-verdict.ts';
import { instant } from '../../../src/time/instant.ts';
import { createWords, readTexts } from '../../../src/words/catalogue.ts';
import { voiceProblems } from '../../stories/voice.ts';

const show = { say: createWords(readTexts('config/words')).in('en'), reader: { locale: 'en', zone: 'Europe/Madrid' } };
const at = instant(Date.parse('2027-09-15T05:20:00Z'));
const KINDS = ['keep', 'look-again', 'order', 'change-now', 'book', 'out-of-use'] as const;
const REASONS = ['crumbling', 'cracked', 'looks-bad', 'hard', 'black-but-soft', 'not-felt', 'too-thick', 'left-of-limit', 'too-thin', 'crept-right', 'against-stop', 'handle-jumped', 'lugs-worn', 'likely-to-end', 'change-due'] as const;
const SIZES = [undefined, { sealMm: 8, shimMm: 0, same: true, sure: true }, { sealMm: 8.5, shimMm: 0.5, same: false, sure: true }, { sealMm: 8.5, shimMm: 0.5, same: true, sure: false }] as const;

const verdict = (kind: ToldVerdict['kind'], size?: ToldVerdict['size'], reasons: ToldVerdict['reasons'] = []): ToldVerdict => ({ kind, inDays: 14, reasons, ...(size ? { size } : {}) });
const told = (group: number, of: ToldVerdict): GroupVerdict => ({ group, verdict: of, at });
const result = (verdicts: readonly GroupVerdict[]): Message => resultMessage(show, { look: 'look', by: 'Pablo', at, hot: false, verdicts });
const fine = (message: Message): void => {
  expect(voiceProblems(message)).toEqual([]);
  expect(problemsOf(message)).toEqual([]);
};

describe('what a look says', () => {
  test.each(KINDS.flatMap((kind) => SIZES.map((size) => [kind, size] as const)))('%s with %j fits a phone and names its group', (kind, size) => {
    const each = told(4, verdict(kind, size));
    expect(verdictLine(show, each)).toMatch(/^Group 4: /);
    expect(verdictLine(show, each).length).toBeLessThanOrEqual(64);
    fine(result([each]));
    fine(planMessage(show, 'look', each, [at]));
  });

  test.each(REASONS)('why: %s is one sentence that fits', (kind) => {
    for (const chance of [0.02, 0.55, 0.99])
      for (const why of ['cheapest', 'longest-time'])
        fine(whyMessage(show, { look: 'look', by: 'Mia', at, hot: false, verdicts: [told(1, verdict('change-now', SIZES[2], [{ kind, calls: 'change-now', chance, why, neededMm: 10.2, inDays: 22 }]))] }, []));
  });

  test('an almost sure failure is not called ten in ten, and an even one is told in tenths', () => {
    const why = (chance: number): string => whyMessage(show, { look: 'look', by: 'Mia', at, hot: false, verdicts: [told(1, verdict('change-now', undefined, [{ kind: 'likely-to-end', calls: 'change-now', chance }]))] }, []).lines.map(({ text }) => plain(text)).join(' ');
    expect(why(0.99)).toContain('Almost sure to end before the next look.');
    expect(why(0.68)).toContain('About 7 in 10 that it ends before the next look.');
  });

  test('four groups, each with another verdict, still fit one message', () => {
    const message = result([told(1, verdict('keep')), told(2, verdict('order', SIZES[2])), told(3, verdict('change-now', SIZES[1])), told(4, verdict('out-of-use'))]);
    fine(message);
    expect(message.title).toBe('Seals looked at, 07:20, Pablo.');
    expect(message.lines).toHaveLength(4);
  });

  test('what is a technician’s has its booking at hand, one for each group', () => {
    const pressesOf = (message: Message): string => JSON.stringify(message.rows);
    expect(pressesOf(result([told(2, verdict('book'))]))).toContain('{"kind":"look.book","ids":["look","2"]}');
    const both = result([told(1, verdict('book')), told(2, verdict('book')), told(3, verdict('order', SIZES[1]))]);
    fine(both);
    expect(pressesOf(both)).toContain('Book for group 1');
    expect(pressesOf(both)).toContain('Book for group 2');
    expect(pressesOf(result([told(1, verdict('keep'))]))).not.toContain('look.book');
  });

  test.each(SIZES)('a group put out of use is told in a few lines with %j, and what is said to its technician names the reason', (size) => {
    const each = told(4, verdict('out-of-use', size, [{ kind: 'left-of-limit', calls: 'out-of-use', degrees: -30 }]));
    for (const groups of [1, 4]) fine(outMessage(show, 'look', each, { name: 'Maria Magdalena', at, groups, back: false }));
    fine(outMessage(show, 'look', each, { name: 'Mia', at, groups: 2, back: true }));
    expect(seenText(show, each)).toBe('Group 4: out of use now. Its handle may blow out. So far left the handle is not held safely.');
  });

  test('a group that is kept offers nothing to plan', () => {
    const rows = JSON.stringify(result([told(1, verdict('keep', SIZES[1]))]).rows);
    expect(rows).not.toContain('look.plan');
    expect(JSON.stringify(result([told(1, verdict('order', SIZES[1]))]).rows)).toContain('look.plan');
  });
});
