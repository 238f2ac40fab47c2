import { afterEach, describe, expect, test } from 'vitest';
import type { Pressed, PressRoute, Subject } from '../../src/cafe/subject.ts';
import type { Ack, Answer } from '../../src/chat/incoming.ts';
import { button, message, type Form, type Message } from '../../src/chat/message.ts';
import { press } from '../../src/chat/press.ts';
import { channel } from '../../src/chat/who.ts';
import { later } from '../../src/time/instant.ts';
import { createIds } from '../../src/store/id.ts';
import { post, redraw, SAID, said } from '../../src/store/post.ts';
import { read, transact } from '../../src/store/transact.ts';
import { labelsOf, wordsOf } from '../platform/double/seen.ts';
import { closeBenches, openBench, type Bench, type BenchOptions } from './bench.ts';

afterEach(closeBenches);

type Take = (pressed: Pressed) => Promise<Answer>;
const route = (kind: string, ack: Ack, take: Take): PressRoute => ({ kind, ack, right: 'anyone', take });
const text = (words: string): Message => message([words]);
const form: Form = { title: 'Hours', submit: press('t.sent', 'a'), questions: [{ key: 'open', label: 'Open at', answer: { kind: 'words', most: 20, now: '7:30' } }] };
const ids = createIds();

/** A list of buttons, one for each route of the test, shown in the bar. */
const withRoutes = async (routes: readonly PressRoute[], options: BenchOptions = {}): Promise<Bench> => {
  const bench = await openBench({ ...options, subject: (): Subject => ({ presses: routes }) });
  const list = message(['Closing:'], routes.filter(({ kind }) => kind !== 't.sent').map(({ kind }) => button(kind, press(kind, 'a'))));
  await transact(bench.store, [], (tx) => post(tx, ids, bench.clock.now(), { key: 'list', place: channel(bench.bar.id), kind: SAID, data: said(list), priority: 'reminder' }));
  await bench.settle();
  return bench;
};
const list = (bench: Bench) => bench.double.now(bench.shown()[0] ?? (() => { throw new Error('nothing is shown'); })());

describe('how a press is answered', () => {
  test('an update redraws the message pressed on, and what is private comes beside it', async () => {
    const bench = await withRoutes([route('t.done', 'update', async () => ({ kind: 'redraw', message: text('Done, 22:31'), private: text('Thanks, Mia.') }))]);
    const asked = bench.mia.press(list(bench), 't.done');
    expect(await asked.acknowledged()).toBe('later update');
    expect(wordsOf(await asked.privately())).toBe('Thanks, Mia.');
    expect([wordsOf(list(bench)), labelsOf(list(bench))]).toEqual(['Done, 22:31', []]);
    expect([(await asked.privately()).onlyFor, bench.double.problems()]).toEqual([bench.mia.id, []]);
  });

  test('a private press is answered to the presser alone, and its own buttons redraw that answer', async () => {
    const bench = await withRoutes([
      route('t.why', 'private', async () => ({ kind: 'private', message: message(['Why?'], [button('Time', press('t.time', 'a'))]) })),
      route('t.time', 'update', async () => ({ kind: 'redraw', message: text('Noted: no time.') })),
    ]);
    const first = await bench.mia.press(list(bench), 't.why').privately();
    const second = bench.mia.press(first, 'Time');
    expect(wordsOf(await second.redrawn())).toBe('Noted: no time.');
    expect([bench.double.now(first).onlyFor, wordsOf(list(bench))]).toEqual([bench.mia.id, 'Closing:']);
    expect(bench.double.problems()).toEqual([]);
  });

  test('a private press that redraws changes the list and leaves no "thinking" behind', async () => {
    const bench = await withRoutes([route('t.odd', 'private', async () => ({ kind: 'redraw', message: text('Changed') }))]);
    const asked = bench.mia.press(list(bench), 't.odd');
    await asked.acknowledged();
    await bench.settle();
    expect([wordsOf(list(bench)), bench.mia.screen(bench.bar).map(wordsOf)]).toEqual(['Changed', ['Changed']]);
  });

  test('noted leaves everything as it is, and a private note ends without a trace', async () => {
    const bench = await withRoutes([route('t.a', 'update', async () => ({ kind: 'noted' })), route('t.b', 'private', async () => ({ kind: 'noted' })), route('t.c', 'private', async () => ({ kind: 'noted', private: text('Fine.') }))]);
    await bench.mia.press(list(bench), 't.a').acknowledged();
    await bench.mia.press(list(bench), 't.b').acknowledged();
    expect(wordsOf(await bench.mia.press(list(bench), 't.c').privately())).toBe('Fine.');
    await bench.settle();
    expect(bench.mia.screen(bench.bar).map(wordsOf)).toEqual(['Closing:', 'Fine.']);
  });

  test('what is said for all stands in the channel, and calls only whom it names', async () => {
    const bench = await withRoutes([route('t.say', 'update', async ({ by }) => ({ kind: 'say', message: text('Mia asks @everyone'), notify: [by.id] }))]);
    await bench.mia.press(list(bench), 't.say').acknowledged();
    await bench.settle();
    const told = bench.shown().at(-1);
    expect([told?.pinged.users, told?.pinged.everyone, told?.pinged.roles]).toEqual([[bench.mia.id], false, []]);
    expect(bench.ola.rang()).toEqual([]);
  });

  test('a form opens with what is known, under a new id each time, and its answers redraw the list', async () => {
    const seen: unknown[] = [];
    const bench = await withRoutes([
      route('t.form', 'form', async () => ({ kind: 'form', form })),
      route('t.sent', 'update', async ({ answers, press: { ids: [id] } }) => (seen.push(answers, id), { kind: 'redraw', message: text('Open at 8') })),
    ]);
    const one = await bench.mia.press(list(bench), 't.form').form();
    const two = await bench.mia.press(list(bench), 't.form').form();
    expect(one.customId).not.toBe(two.customId);
    expect(wordsOf(await bench.mia.submit(two, { 'Open at': '8:00' }).redrawn())).toBe('Open at 8');
    expect(seen).toEqual([{ open: ['8:00'] }, 'a']);
    expect(bench.double.problems()).toEqual([]);
  });

  test('a form that may not be opened is refused in words', async () => {
    const bench = await withRoutes([route('t.form', 'form', async () => ({ kind: 'private', message: text('For the owner.') }))]);
    const asked = bench.mia.press(list(bench), 't.form');
    expect([await asked.acknowledged(), wordsOf(await asked.privately())]).toEqual(['reply', 'For the owner.']);
  });

  test('a form that is not ready in time gives way to one sentence', async () => {
    let go = (): void => undefined;
    const held = new Promise<void>((resolve) => (go = resolve));
    const bench = await withRoutes([route('t.form', 'form', async () => (await held, { kind: 'form', form }))], { tuning: { formWait: 40 } });
    const asked = bench.mia.press(list(bench), 't.form');
    expect(wordsOf(await asked.privately())).toBe('I was too slow just now. Please press once more.');
    go();
    await bench.settle();
    expect(bench.double.problems()).toEqual([]);
  });

  test('the acknowledgement goes out before the work begins', async () => {
    let go = (): void => undefined;
    const told = new Promise<void>((resolve) => (go = resolve));
    const bench = await withRoutes([route('t.a', 'update', async () => (await told, { kind: 'noted' })), route('t.b', 'private', async () => (await told, { kind: 'noted' }))]);
    const presses = [bench.mia.press(list(bench), 't.a'), bench.mia.press(list(bench), 't.b')];
    expect(await Promise.all(presses.map((asked) => asked.acknowledged()))).toEqual(['later update', 'later reply']);
    go();
  });
});

describe('the platform’s pace', () => {
  const noted = [route('t.done', 'update', async () => ({ kind: 'noted' as const }))];

  test('a hundred and twenty presses at once: none waits for any pace, nor do their answers', async () => {
    const bench = await withRoutes([route('t.why', 'private', async () => ({ kind: 'private', message: text('Because.') }))]);
    const asked = Array.from({ length: 120 }, () => bench.mia.press(list(bench), 't.why'));
    await Promise.all(asked.map((each) => each.privately()));
    expect([bench.logged.filter(({ msg }) => msg === 'waiting for the platform'), bench.double.problems()]).toEqual([[], []]);
  });

  test('while all sending is told to wait, presses are acknowledged', async () => {
    const bench = await withRoutes(noted);
    bench.double.plant('create_message', { kind: 'too many', retryAfter: 0.6, scope: 'global' });
    await transact(bench.store, [], (tx) => post(tx, ids, bench.clock.now(), { key: 'b', place: channel(bench.bar.id), kind: SAID, data: said(text('Later')), priority: 'reminder' }));
    const mark = bench.double.journal.mark();
    bench.connection.bot.sender.wake();
    await bench.double.journal.until(mark, 'the refusal', (entry): entry is typeof entry & { kind: 'answered' } => entry.kind === 'answered' && entry.status === 429);
    await bench.mia.press(list(bench), 't.done').acknowledged();
    expect(bench.double.sent('create_message').map(({ status }) => status)).toEqual([200, 429]);
    await bench.settle();
    expect(bench.double.sent('create_message').map(({ status }) => status)).toEqual([200, 429, 200]);
  });
});

describe('when something goes wrong with a press', () => {
  const counting = () => {
    let done = 0;
    return { routes: [route('t.done', 'update', async () => ((done += 1), { kind: 'redraw', message: text(`Done ${done}`) }))], count: () => done };
  };

  test.each<'502' | 'reset' | 'close'>(['502', 'reset', 'close'])('an acknowledgement whose answer was lost by %s counts, and the work is done once', async (by) => {
    const { routes, count } = counting();
    const bench = await withRoutes(routes);
    bench.double.plant('create_interaction_response', { kind: 'lose answer', by });
    const asked = bench.mia.press(list(bench), 't.done');
    expect(wordsOf(await asked.redrawn())).toBe('Done 1');
    await bench.settle();
    expect([count(), bench.double.problems().map(({ kind }) => kind)]).toEqual([1, ['refused 40060']]);
  });

  test('a press the platform would not let us acknowledge is not done: the person was told that it failed', async () => {
    const { routes, count } = counting();
    const bench = await withRoutes(routes);
    bench.double.plant('create_interaction_response', { kind: 'refuse', status: 404, code: 10062 });
    bench.mia.press(list(bench), 't.done');
    await bench.settle();
    expect([count(), wordsOf(list(bench))]).toEqual([0, 'Closing:']);
    expect(wordsOf(await bench.mia.press(list(bench), 't.done').redrawn())).toBe('Done 1');
  });

  test('an event that comes twice is done once', async () => {
    const { routes, count } = counting();
    const bench = await withRoutes(routes);
    bench.double.gateway.repeatNext('INTERACTION_CREATE', 2);
    await bench.mia.press(list(bench), 't.done').redrawn();
    await bench.settle();
    expect([count(), bench.double.problems()]).toEqual([1, []]);
  });

  test('a button nobody knows any more, and one that was never ours, get one kind sentence', async () => {
    const bench = await withRoutes([route('t.done', 'update', async () => ({ kind: 'noted' }))]);
    for (const id of ['1~t.gone~a', 'other-bot:page:2', '9~t.done~a']) {
      const shown = await foreign(bench, id);
      expect(wordsOf(await bench.mia.press(shown, 'Old').privately())).toBe('This button is from an older message. Write /today for what is open now.');
    }
    expect(bench.double.problems()).toEqual([]);
  });

  test('of two presses on one list the older state is never shown over the newer one', async () => {
    let go = (): void => undefined;
    const held = new Promise<void>((resolve) => (go = resolve));
    const version = (bench: Bench) => transact(bench.store, [], (tx) => redraw(tx, 'list', bench.clock.now(), true));
    const bench: Bench = await withRoutes([
      route('t.slow', 'update', async () => {
        const shows = { key: 'list', version: (await version(bench)) ?? 0 };
        await held;
        return { kind: 'redraw', message: text('older'), shows };
      }),
      route('t.quick', 'update', async () => ({ kind: 'redraw', message: text('newer'), shows: { key: 'list', version: (await version(bench)) ?? 0 } })),
    ]);
    const shown = list(bench);
    await bench.mia.press(shown, 't.slow').acknowledged();
    await bench.ola.press(shown, 't.quick', { old: true }).redrawn();
    go();
    await bench.settle();
    const row = await read(bench.store, (tx) => tx.selectFrom('outbox').select(['version', 'shown_version', 'redraw_at']).executeTakeFirstOrThrow());
    expect([wordsOf(list(bench)), row]).toEqual(['newer', { version: 3, shown_version: 3, redraw_at: null }]);
  });

  test('an answer the platform did not take is shown by the sender a few seconds later', async () => {
    const bench: Bench = await withRoutes([
      route('t.done', 'update', async () => {
        const shown = await transact(bench.store, [], async (tx) => {
          await tx.updateTable('outbox').set({ data: JSON.stringify(said(text('Done, 22:31'))) }).where('key', '=', 'list').execute();
          return redraw(tx, 'list', bench.clock.now(), true);
        });
        return { kind: 'redraw', message: text('Done, 22:31'), shows: { key: 'list', version: shown ?? 0 } };
      }),
    ]);
    bench.double.plant('update_original_webhook_message', { kind: 'refuse', status: 500 }, 10);
    await bench.mia.press(list(bench), 't.done').acknowledged();
    await bench.settle();
    expect(wordsOf(list(bench))).toBe('Closing:');
    expect(bench.logged.map(({ msg }) => msg)).toContain('an answer could not be shown');
    expect(JSON.stringify(bench.logged), 'a log holds neither messages nor tokens').not.toMatch(/Done, 22:31|token-|Mia/);
    bench.clock.moveTo(later(bench.clock.now(), 5000));
    await bench.settle();
    expect(wordsOf(list(bench))).toBe('Done, 22:31');
  });

  test('a list deleted under the presser: the press is stored, and nothing breaks', async () => {
    const { routes, count } = counting();
    const bench = await withRoutes(routes);
    const shown = list(bench);
    const asked = bench.mia.press(shown, 't.done');
    await asked.acknowledged();
    bench.ola.erase(shown);
    await bench.settle();
    expect([count(), bench.shown(), bench.logged.filter(({ level }) => level >= 50)]).toEqual([1, [], []]);
  });
});

/** A message with a button of somebody else's making, standing as ours. */
const foreign = async (bench: Bench, customId: string) => {
  const mark = bench.double.journal.mark();
  await fetch(`${bench.double.api}/v10/channels/${bench.bar.id}/messages`, {
    method: 'POST', headers: { authorization: `Bot ${bench.double.token}`, 'content-type': 'application/json' },
    body: JSON.stringify({ content: 'Old list', components: [{ type: 1, components: [{ type: 2, style: 1, label: 'Old', custom_id: customId }] }] }),
  });
  return bench.double.written(bench.bar, mark);
};
