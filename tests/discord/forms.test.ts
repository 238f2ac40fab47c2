import { afterEach, describe, expect, test } from 'vitest';
import type { Pressed } from '../../src/cafe/subject.ts';
import { button, message, type Choice, type Form } from '../../src/chat/message.ts';
import { press } from '../../src/chat/press.ts';
import { channel } from '../../src/chat/who.ts';
import { modalOf, pressOfModal } from '../../src/discord/modal.ts';
import { createIds } from '../../src/store/id.ts';
import { post, SAID, said } from '../../src/store/post.ts';
import { transact } from '../../src/store/transact.ts';
import { checkForm } from '../platform/double/check-form.ts';
import type { Part } from '../platform/double/check-components.ts';
import { wordsOf } from '../platform/double/seen.ts';
import { closeBenches, openBench, type Bench } from './bench.ts';

afterEach(closeBenches);

const options = Array.from({ length: 25 }, (_, i) => ({ value: `v${i}`, label: `Option ${i}` }));
const everything: Form = {
  title: 'The leak', submit: press('t.sent', 'case1', 's3'),
  questions: [
    { key: 'where', label: 'Where', answer: { kind: 'words', most: 40, now: 'left group' } },
    { key: 'more', label: 'More', optional: true, answer: { kind: 'words', most: 400, long: true } },
    { key: 'group', label: 'Group', answer: { kind: 'pick', from: options, most: 3 } },
    { key: 'who', label: 'Who', answer: { kind: 'pick', from: 'people', most: 2 } },
    { key: 'photos', label: 'Photos', optional: true, answer: { kind: 'photos', most: 5 } },
  ],
};

/** A bot that opens the form, and lists picked from, and keeps what came back. */
const asking = async (form: Form, rows: readonly Choice[] = []): Promise<{ readonly bench: Bench; readonly came: Pressed[]; readonly bytes: string[] }> => {
  const came: Pressed[] = [];
  const bytes: string[] = [];
  const keep = async (pressed: Pressed) => {
    came.push(pressed);
    for (const each of pressed.attachments) bytes.push(`${each.name} ${new TextDecoder().decode(await each.fetch())}`);
    return { kind: 'redraw' as const, message: message(['Noted.']) };
  };
  const bench = await openBench({
    subject: () => ({
      presses: [
        { kind: 't.open', ack: 'form', right: 'anyone', take: async () => ({ kind: 'form', form }) },
        { kind: 't.sent', ack: 'update', right: 'anyone', take: keep },
        { kind: 't.pick', ack: 'update', right: 'anyone', take: keep },
      ],
    }),
  });
  const list = message(['What is wrong?'], [button('Write it', press('t.open', 'a'))], ...rows);
  await transact(bench.store, [], (tx) => post(tx, createIds(), bench.clock.now(), { key: 'list', place: channel(bench.bar.id), kind: SAID, data: said(list), priority: 'reminder' }));
  await bench.settle();
  return { bench, came, bytes };
};
const shown = (bench: Bench) => bench.shown()[0] ?? (() => { throw new Error('nothing is shown'); })();

describe('forms', () => {
  test('every kind of question comes back by its key, photos with their bytes', async () => {
    const { bench, came, bytes } = await asking(everything);
    const form = await bench.mia.press(shown(bench), 'Write it').form();
    const sent = bench.mia.submit(form, { Where: 'right group', group: ['Option 2', 'Option 24'], who: [bench.ola.id], photos: [{ name: 'leak.jpg', type: 'image/jpeg', bytes: new TextEncoder().encode('drip') }] });
    expect(wordsOf(await sent.redrawn())).toBe('Noted.');
    expect(came[0]?.answers).toEqual({ where: ['right group'], more: [], group: ['v2', 'v24'], who: [bench.ola.id], photos: ['leak.jpg'] });
    expect([came[0]?.press, came[0]?.shown?.key, bytes]).toEqual([press('t.sent', 'case1', 's3'), 'list', ['leak.jpg drip']]);
    expect(bench.double.problems()).toEqual([]);
  });

  test('what may be left out is left out, what was known stays', async () => {
    const { bench, came } = await asking(everything);
    const form = await bench.mia.press(shown(bench), 'Write it').form();
    expect(() => bench.mia.submit(form, { who: [bench.ola.id] })).toThrow('"Group" has nothing chosen');
    await bench.mia.submit(form, { group: ['Option 0'], who: [bench.ola.id] }).redrawn();
    expect(came[0]?.answers).toEqual({ where: ['left group'], more: [], group: ['v0'], who: [bench.ola.id], photos: [] });
    expect(came[0]?.attachments).toEqual([]);
  });

  test('places and roles too, and a place comes as a place', async () => {
    const two: Form = { ...everything, questions: [{ key: 'place', label: 'Where to', answer: { kind: 'pick', from: 'places', most: 1 } }, { key: 'role', label: 'Role', optional: true, answer: { kind: 'pick', from: 'roles', most: 1 } }] };
    const { bench, came } = await asking(two);
    const form = await bench.mia.press(shown(bench), 'Write it').form();
    await bench.mia.submit(form, { place: [bench.bar.id], role: [bench.role.id] }).redrawn();
    expect(came[0]?.answers).toEqual({ place: [channel(bench.bar.id)], role: [bench.role.id] });
  });

  test('a form sent twice by an impatient finger arrives as two answers, each redrawn', async () => {
    const { bench, came } = await asking(everything);
    const form = await bench.mia.press(shown(bench), 'Write it').form();
    const answers = { group: ['Option 0'], who: [bench.ola.id] };
    await Promise.all([bench.mia.submit(form, answers).acknowledged(), bench.mia.submit(form, answers).acknowledged()]);
    await bench.settle();
    expect([came.length, bench.double.problems()]).toEqual([2, []]);
  });

  test('a form of a version nobody knows any more gets one sentence', async () => {
    const { bench } = await asking(everything);
    const form = await bench.mia.press(shown(bench), 'Write it').form();
    const sent = bench.mia.submit({ ...form, customId: '9~t.sent~a|x' }, { group: ['Option 0'], who: [bench.ola.id] });
    expect(wordsOf(await sent.privately())).toBe('This button is from an older message. Write /today for what is open now.');
  });

  test('its id is new each time, means the same press, and never grows beyond the platform’s bound', () => {
    for (const length of [1, 40, 88, 93, 94, 95]) {
      const form: Form = { ...everything, submit: press('t', 'x'.repeat(length)) };
      const ids = ['aaaaaa', 'bbbbbb'].map((tail) => modalOf(form, tail).custom_id);
      expect(ids.every((id) => id.length <= 100)).toBe(true);
      expect(ids.map(pressOfModal)).toEqual([form.submit, form.submit]);
      if (length < 94) expect(ids[0]).not.toBe(ids[1]);
    }
  });

  test('keeps the platform’s rules for forms', () => {
    const full: Form = {
      title: 'x'.repeat(45), submit: press('t.sent', 'a'),
      questions: [
        { key: 'a', label: 'x'.repeat(45), hint: 'x'.repeat(100), answer: { kind: 'words', most: 4000, long: true, now: 'x'.repeat(5000) } },
        { key: 'b', label: 'x', answer: { kind: 'pick', from: options, most: 25 } },
        { key: 'c', label: 'x', optional: true, answer: { kind: 'pick', from: options.slice(0, 1), most: 25 } },
        { key: 'd', label: 'x', answer: { kind: 'photos', most: 25 } },
        { key: 'e', label: 'x', optional: true, answer: { kind: 'photos', most: 1 } },
      ],
    };
    expect(() => checkForm(modalOf(full, 'tail') as unknown as Part)).not.toThrow();
  });
});

describe('lists', () => {
  const list = (from: Choice['from'], most = 1): Choice => ({ ask: 'Which?', press: press('t.pick', 'a'), from, ...(most > 1 ? { many: { least: 1, most } } : {}) });

  test('of options: what was picked, and what is written on it', async () => {
    const { bench, came } = await asking(everything, [list(options, 3)]);
    await bench.mia.pick(shown(bench), ['Option 3', 'Option 20']).redrawn();
    expect([came[0]?.picked, came[0]?.pickedNames]).toEqual([['v3', 'v20'], { v3: 'Option 3', v20: 'Option 20' }]);
  });

  test('of people, roles and places, by name', async () => {
    const people = await asking(everything, [list('people', 25)]);
    await people.bench.ola.pick(shown(people.bench), [people.bench.mia.id, people.bench.ola.id]).redrawn();
    expect([people.came[0]?.picked, people.came[0]?.pickedNames]).toEqual([[people.bench.mia.id, people.bench.ola.id], { [people.bench.mia.id]: 'Mia', [people.bench.ola.id]: 'Ola' }]);
    const roles = await asking(everything, [list('roles')]);
    await roles.bench.ola.pick(shown(roles.bench), [roles.bench.role.id]).redrawn();
    expect([roles.came[0]?.picked, roles.came[0]?.pickedNames]).toEqual([[roles.bench.role.id], { [roles.bench.role.id]: 'bar' }]);
    const places = await asking(everything, [list('places')]);
    await places.bench.ola.pick(shown(places.bench), [places.bench.bar.id]).redrawn();
    expect([places.came[0]?.picked, places.came[0]?.pickedNames]).toEqual([[channel(places.bench.bar.id)], { [channel(places.bench.bar.id)]: '#bar' }]);
  });
});
