import { describe, expect, test } from 'vitest';
import { channel, direct, personId } from '../src/chat/who.ts';
import type { Incoming } from '../src/chat/incoming.ts';
import type { Store } from '../src/store/store.ts';
import { transact } from '../src/store/transact.ts';
import { namedIn } from '../src/which-cafe.ts';
import { atLanternStreet, textOf } from './delivery/fixture.ts';
import { databases } from './store/databases.ts';

describe('a café named in the words', () => {
  const cafes = [{ id: 'l', name: 'Lantern Street', town: 'Valencia' }, { id: 'h', name: 'Harbour', town: 'Porto' }];

  test.each([
    ['the left group drips at Harbour', 'h', 'the left group drips'],
    ['Harbour: the left group drips', 'h', 'the left group drips'],
    ['is anyone coming to the harbour?', 'h', 'is anyone coming?'],
    ['we are closed next week at the café Lantern  Street', 'l', 'we are closed next week'],
    ['al Harbour siamo chiusi domani', 'h', 'siamo chiusi domani'],
    ['Lantern Street', 'l', ''],
  ])('%s', (text, cafe, rest) => {
    expect(namedIn(text, cafes)).toEqual({ cafe, text: rest });
  });

  test.each(['the left group drips', 'Lantern Street and Harbour are closed', 'harbours', 'lantern'])('"%s" names none, or not one', (text) => {
    expect(namedIn(text, cafes)).toBeUndefined();
  });
});

/** Ola owns a second café, as like the first as a neighbour. */
const second = async (store: Store, cafe: string): Promise<void> =>
  transact(store, [], async (tx) => {
    const row = await tx.selectFrom('cafe').selectAll().where('id', '=', cafe).executeTakeFirstOrThrow();
    await tx.insertInto('cafe').values({ ...row, id: 'harbour', name: 'Harbour', town: 'Porto', place: channel('harbour') }).execute();
    const machine = await tx.selectFrom('machine').selectAll().where('cafe', '=', cafe).executeTakeFirstOrThrow();
    await tx.insertInto('machine').values({ ...machine, id: 'harbour-machine', cafe: 'harbour' }).execute();
    for (const group of await tx.selectFrom('machine_group').selectAll().where('machine', '=', machine.id).execute()) await tx.insertInto('machine_group').values({ ...group, id: `h${group.id}`, machine: 'harbour-machine' }).execute();
    const ola = await tx.selectFrom('member').selectAll().where('cafe', '=', cafe).where('role', '=', 'owner').executeTakeFirstOrThrow();
    await tx.insertInto('member').values({ ...ola, id: 'ola-harbour', cafe: 'harbour' }).execute();
  });

describe.each(databases)('an owner of two cafés writes directly, on the $name database', ({ open }) => {
  const bench = async () => {
    const store = await open();
    const made = await atLanternStreet(store);
    await second(store, made.cafe);
    let count = 0;
    const from = { by: { id: personId('ola'), name: 'Ola', roles: [], manages: false }, at: direct(personId('ola')) } as const;
    const take = async (incoming: Incoming) => {
      const before = made.chat.sent.length;
      const answer = await made.bot.router.take(incoming);
      await made.bot.sender.drain();
      return { answer: textOf(answer), posted: made.chat.sent.slice(before).map(({ place, message }) => ({ place, lines: message.lines.map(({ text }) => text), buttons: message.rows })) };
    };
    return {
      store,
      say: (text: string) => take({ kind: 'words', id: `w${++count}`, ...from, text, readable: true, addressed: true }),
      press: (kind: string, ids: readonly string[], picked?: readonly string[]) => take({ kind: 'press', id: `w${++count}`, ...from, press: { kind, ids }, ...(picked ? { picked } : {}) }),
      command: (name: string) => take({ kind: 'command', id: `w${++count}`, ...from, name, given: {} }),
      exceptions: async () => Object.fromEntries((await transact(store, [], (tx) => tx.selectFrom('cafe').select(['name', 'exceptions']).execute())).map(({ name, exceptions }) => [name, exceptions])),
    };
  };

  test('asked which, a press answers it, and only that café is changed', async () => {
    const { say, press, exceptions } = await bench();
    const before = await exceptions();
    expect((await say('we are closed tomorrow')).posted[0]?.lines).toEqual(['Which café is it about?']);
    expect((await press('which.cafe', ['harbour'])).answer).toContain('Wed 10 Mar closed');
    const after = await exceptions();
    expect(after['Lantern Street']).toBe(before['Lantern Street']);
    expect(after['Harbour']).toContain('2027-03-10');
  });

  test('named in the same breath, or after the question, it is not asked again', async () => {
    const { say } = await bench();
    expect((await say('which seal do I order at Harbour?')).posted[0]?.lines[0]).toBe('Fitted at Harbour');
    await say('the left group drips at rest');
    expect((await say('Lantern Street')).posted[0]?.lines[0]).toContain('Drips at rest');
  });

  test('a command waits for its café too; a café that is not theirs cannot be picked', async () => {
    const { command, press } = await bench();
    expect((await command('record')).answer).toContain('Which café');
    expect((await press('which.cafe', ['elsewhere'])).answer).not.toContain('Fitted');
    expect((await press('which.cafe', ['harbour'])).answer).toContain('Fitted at Harbour');
    expect((await press('which.cafe', ['harbour'])).answer).not.toContain('Fitted');
  });

  test('a danger shows its steps at once, and rings only in the café it is in', async () => {
    const { say, press } = await bench();
    const told = await say('it smells of gas here');
    expect(told.posted.map(({ place }) => place)).toEqual([direct(personId('ola'))]);
    expect(told.posted[0]?.lines[0]).toBe('Leave now, take everyone. Read on outside.');
    const where = await press('danger.where', ['gas'], ['harbour']);
    expect(where.posted.map(({ place }) => place)).toContain(channel('harbour'));
    expect(where.posted.map(({ place }) => place)).not.toContain(channel('bar'));
    expect((await press('danger.where', ['gas'], ['elsewhere'])).posted).toEqual([]);
  });

  test('a danger with the café’s name rings there at once', async () => {
    const { say } = await bench();
    expect((await say('smoke comes out of the machine at Harbour')).posted.map(({ place }) => place)).toContain(channel('harbour'));
  });
});
