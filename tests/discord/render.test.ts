import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { problemsOf } from '../../src/chat/limits.ts';
import { button, line, message, type Choice, type Message } from '../../src/chat/message.ts';
import { press } from '../../src/chat/press.ts';
import { channel, personId } from '../../src/chat/who.ts';
import { escaped, wordsFrom } from '../../src/discord/markup.ts';
import { contentOf, isContentOf, render as rendered, type Called } from '../../src/discord/render.ts';
import { checkMessage } from '../platform/double/check-message.ts';
import type { Part } from '../platform/double/check-components.ts';
import { shownLines } from '../stories/discord-reader.ts';
import type { Message as Kept, World } from '../platform/double/world.ts';

const undrawn: string[] = [];
const render = (made: Message, called?: Called) => rendered(made, (name) => undrawn.push(name), called);
const SEED = 20_270_309;
const world = { users: new Map([['7', { name: 'Mia' }]]) } as unknown as World;
const onScreen = (content: string): readonly string[] => shownLines(world, { content } as Kept);

/** Text as people write it, thick with the platform's marks. */
const marked = fc.string({ unit: fc.constantFrom('*', '_', '~', '`', '|', '<', '>', '#', '-', '@', '[', ']', '(', ')', '\\', ':', '1', '.', ' ', 'a', 'é', '½', 'everyone', '<@7>', 'https://x.test/a_b', '\u202e', 'here', '👍'), minLength: 1, maxLength: 30 });

describe('texts', () => {
  test('whatever people write is shown as they wrote it, and calls nobody', () => {
    fc.assert(
      fc.property(marked, (text) => {
        expect(onScreen(escaped(text)).join('\n')).toBe(text);
        expect(escaped(text)).not.toMatch(/(?<!https:\/\/\S*)@(?:everyone|here)/);
      }),
      { seed: SEED, numRuns: 2000 },
    );
  });

  test.each([
    ['1. rinse', '1\\. rinse'], ['- rinse', '\\- rinse'], ['# rinse', '\\# rinse'], ['> rinse', '\\> rinse'], ['-# rinse', '\\-# rinse'], ['**hot**', '\\*\\*hot\\*\\*'],
    ['[here](https://x.test)', '\\[here](https\\://x.test)'], ['<@7> <#8> <t:1:R>', '\\<@7> \\<#8> \\<t:1:R>'], ['||secret||', '\\|\\|secret\\|\\|'], ['3, the baskets', '3, the baskets'], ['7 mm + 1 mm', '7 mm + 1 mm'],
  ])('%s is written %s', (text, written) => {
    expect(escaped(text)).toBe(written);
  });

  test('everyone cannot be called by a text', async () => {
    const { body } = await render(message(['Mia says @everyone and @here, <@&9> too']));
    expect(body.content).not.toMatch(/@everyone|@here|(?<!\\)<@/);
    expect(body.allowed_mentions).toEqual({ parse: [], users: [], roles: [], replied_user: false });
  });

  test('title and tones: strong, quiet, danger, plain', () => {
    expect(contentOf({ title: 'Closing', lines: [line('Now'), line('Stop now', 'danger'), line('Why', 'quiet'), line('Off', 'strong')] })).toBe('**Closing**\nNow\n**Stop now**\n-# Why\n**Off**');
  });

  test('people and places in a text are named the way the platform shows them', () => {
    expect(contentOf(message([line(['Ask ', { person: personId('7'), name: 'Mia' }, ' in ', { place: channel('8') }])]))).toBe('Ask <@7> in <#8>');
  });

  test('those to be called are named at the end, each once, and only they are called', async () => {
    const text: Message = message([line([{ person: personId('7'), name: 'Mia' }, ', smoke'])]);
    const { body } = await render(text, { people: ['7', '5'], roles: ['9'] });
    expect([body.content, body.allowed_mentions.users, body.allowed_mentions.roles]).toEqual(['<@7>, smoke\n<@5> <@&9>', ['7', '5'], ['9']]);
    expect(isContentOf(body.content, text)).toBe(true);
  });

  test('a text too long once its marks are escaped is cut between marks, callers kept', () => {
    const content = contentOf(message(['*'.repeat(1500)]), { people: ['7'], roles: [] });
    expect(content.length).toBeLessThanOrEqual(2000);
    expect(content.endsWith('\\*…\n<@7>')).toBe(true);
  });
});

describe('what people typed', () => {
  const names = { self: '1', person: (id: string) => (id === '7' ? 'Mia' : undefined) };
  test.each([
    ['<@1> done', 'done'], ['<@!1>done', 'done'], ['done <@7>', 'done Mia'], ['done <:tick:123> <a:go:4>', 'done :tick: :go:'], ['see <#55> and <@&66>', 'see and'], ['</today:99>', '/today'], ['  done \n all ', 'done \n all'],
  ])('%j is read as %j', (content, words) => {
    expect(wordsFrom(content, names)).toBe(words);
  });
});

describe('rows, pictures and papers', () => {
  const pick = (from: Choice['from'], many?: Choice['many']): Choice => ({ ask: 'Which?', press: press('t.pick', 'a'), from, ...(many ? { many } : {}) });
  const options = Array.from({ length: 25 }, (_, i) => ({ value: `${i}`, label: `Option ${i}`, ...(i === 0 ? { hint: 'first', chosen: true as const } : {}) }));

  test('buttons: grey but for the one wanted next and for danger; a link carries no press', async () => {
    const { body } = await render(message(['x'], [button('Done', press('t.done', 'a'), 'main'), button('Later', press('t.later', 'a')), button('Smoke', press('t.smoke', 'a'), 'danger'), { label: 'Map', link: 'https://x.test' }]));
    expect(body.components[0]?.components.map((part) => ('style' in part ? part.style : 0))).toEqual([1, 2, 4, 5]);
    expect(body.components[0]?.components.map((part) => ('custom_id' in part ? part.custom_id : ''))).toEqual(['1~t.done~a', '1~t.later~a', '1~t.smoke~a', '']);
  });

  test.each<[string, Choice['from'], number]>([['options', options, 3], ['people', 'people', 5], ['roles', 'roles', 6], ['places', 'places', 8]])('a list of %s', async (_name, from, type) => {
    const { body } = await render(message(['x'], pick(from, { least: 1, most: 25 })));
    expect(body.components[0]?.components[0]).toMatchObject({ type, custom_id: '1~t.pick~a', placeholder: 'Which?', min_values: 1, max_values: 25 });
  });

  test('a list never asks for more than it has', async () => {
    const { body } = await render(message(['x'], pick(options.slice(0, 2), { least: 1, most: 25 })));
    expect(body.components[0]?.components[0]).toMatchObject({ max_values: 2 });
  });

  test('pictures carry what they tell as alt text, papers their bytes', async () => {
    const { body, files } = await render({ lines: [line('x')], pictures: [{ name: 'handle.png', alt: 'Five handles; straight points at you.', draw: async () => new Uint8Array([1]) }], files: [{ name: 'visit.ics', bytes: new Uint8Array([2]) }] });
    expect(body.attachments).toEqual([{ id: '0', filename: 'handle.png', description: 'Five handles; straight points at you.' }, { id: '1', filename: 'visit.ics' }]);
    expect(files.map(({ name, data }) => [name, ...data])).toEqual([['handle.png', 1], ['visit.ics', 2]]);
  });

  test('a picture that cannot be drawn holds nothing up: the text goes out, and it is told', async () => {
    const { body, files } = await render({ lines: [line('x')], pictures: [{ name: 'broken.png', alt: 'x', draw: async () => Promise.reject(new Error('no ink')) }, { name: 'fine.png', alt: 'y', draw: async () => new Uint8Array([1]) }] });
    expect([body.content, files.map(({ name }) => name), body.attachments.map(({ id }) => id), undrawn]).toEqual(['x', ['fine.png'], ['0'], ['broken.png']]);
  });

  test('whatever the common limits let pass, the platform takes', async () => {
    const label = fc.string({ minLength: 1, maxLength: 80 }).filter((text) => text.trim() !== '');
    const row = fc.oneof(
      fc.uniqueArray(fc.integer({ min: 0, max: 99 }), { minLength: 1, maxLength: 5 }).chain((numbers) => fc.tuple(fc.constant(numbers), label)).map(([numbers, text]) => numbers.map((n) => button(text, press('t.b', String(n), Math.abs(n * 7919).toString(36))))),
      fc.integer({ min: 1, max: 25 }).map((count): Choice => ({ ask: 'Which?', press: press('t.c', String(count)), from: options.slice(0, count) })),
    );
    const messages = fc.record({ lines: fc.array(fc.string({ minLength: 0, maxLength: 400 }).map((text) => line(text)), { minLength: 1, maxLength: 5 }), rows: fc.array(row, { maxLength: 5 }) });
    await fc.assert(
      fc.asyncProperty(messages, async (made) => {
        fc.pre(problemsOf(made).length === 0);
        const { body } = await render(made);
        checkMessage({ content: body.content, embeds: [], components: body.components as unknown as readonly Part[], attachments: [], flags: 0, allowed: body.allowed_mentions });
      }),
      { seed: SEED, numRuns: 500 },
    );
  });
});
