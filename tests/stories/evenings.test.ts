import { describe, expect, test } from 'vitest';
import { transact } from '../../src/store/transact.ts';
import { databases } from '../store/databases.ts';
import { discordStage } from './discord-stage.ts';
import { count, seen, type Stage } from './stage.ts';
import { terminalStage } from './terminal-stage.ts';
import type { Store } from '../../src/store/store.ts';

const chats = [['terminal', (store: Store): Promise<Stage> => terminalStage({ store })], ['platform', (store: Store): Promise<Stage> => discordStage({ store })]] as const;
const settings = chats.flatMap(([chat, stage]) => databases.map((database) => ({
  name: `${chat}, ${database.name}`,
  open: async (): Promise<{ readonly store: Store; readonly stage: Stage }> => {
    const store = await database.open();
    return { store, stage: await stage(store) };
  },
})));

describe.each(settings)('evenings at the bar ($name)', ({ open }) => {
  test('one phone for all: it marks and takes back with bar rights, and owns nothing', async () => {
    const { store, stage } = await open();
    const sam = stage.person('sam');
    await stage.until('22:00');
    await sam.presses('Done: some', 'Closing');
    await sam.picks('1 backflush');
    // From here on Sam's account is the phone behind the bar.
    const id = await transact(store, [], async (tx) => (await tx.selectFrom('occurrence').select('by_person').where('state', '=', 'done').executeTakeFirstOrThrow()).by_person);
    await transact(store, [], async (tx) => {
      const cafe = await tx.selectFrom('cafe').select('id').executeTakeFirstOrThrow();
      await tx.insertInto('member').values({ id: 'phone', cafe: cafe.id, person: id, name: 'Bar phone', role: 'bar phone', direct_ok: 0, created_at: 0 }).execute();
    });
    await stage.until('22:31');
    await sam.says('done');
    expect((await seen(stage, 'the baskets')).lines[0]).toBe('Thanks, Sam. 2 and 4 done, 22:31.');
    await sam.presses('Out and rinsed', 'the baskets');
    await sam.presses('Take back', 'Closing');
    expect((await seen(stage, 'Closing, groups')).lines[0]).toBe('Closing, groups 1 and 2:');
    await sam.commands('cafe');
    expect((await seen(stage, 'Only the owner can change this')).buttons).toEqual([]);
    await stage.close();
  });

  test('a name without an account: "done Mia" is Mia, said by whoever holds the phone', async () => {
    const { stage } = await open();
    await stage.person('ola').says('names: Mia, Jo', 'direct');
    await stage.until('22:31');
    await stage.person('sam').says('done Jo');
    expect((await seen(stage, 'Thanks, Jo')).lines).toEqual(['Thanks, Jo. 1, 2 and 4 done, 22:31.', '3, the baskets: out of the soak and rinsed?']);
    await stage.person('sam').presses('Out and rinsed');
    expect((await seen(stage, 'Closing, groups')).lines[0]).toMatch(/^Closing, groups 1 and 2: done 22:31, Jo/);
    await stage.close();
  });

  test('the first evening of a newcomer: help at the first question, no tour, one job of their own, the gap told to the owner', async () => {
    const { stage } = await open();
    const lina = stage.person('lina');
    await stage.until('22:00');
    expect((await seen(stage, 'Closing, groups')).buttons).toEqual(['Done: all', 'Done: some', "Can't", 'Later']);
    await stage.until('22:03');
    await lina.replies('Closing', 'what is backflush');
    expect((await seen(stage, 'blind basket')).buttons).toEqual(['I have', 'Show me', "I'm alone, never", 'Ask a colleague']);
    await stage.until('22:04');
    await lina.presses("I'm alone, never");
    expect((await seen(stage, 'Then leave it tonight')).only).toBe('Lina');
    await stage.until('22:15');
    await lina.presses('Did 2');
    expect((await seen(stage, 'Closing, groups')).lines).toEqual(expect.arrayContaining(['Closing, groups 1 and 2: 1 of 4 done, 22:15, Lina']));
    expect((await seen(stage, 'Welcome to the bar')).only).toBe('Lina');
    await stage.until('tomorrow 9:00');
    expect((await seen(stage, 'Who shows Lina', 'Ola')).lines[1]).toBe('Who shows Lina? I mark it when you say so.');
    expect((await stage.messages()).filter(({ place }) => place === 'Lina')).toEqual([]);
    await stage.close();
  });

  test('una sera in italiano: la lista, tranne l\'ammollo, "non posso", il detergente finito, l\'apertura', async () => {
    const { store, stage } = await open();
    await transact(store, [], async (tx) => {
      await tx.updateTable('cafe').set({ language: 'it' }).execute();
      await tx.updateTable('member').set({ language: 'it' }).execute();
    });
    await stage.until('22:00');
    expect(await seen(stage, 'Chiusura')).toMatchObject({
      lines: ['Chiusura, gruppi 1 e 2:', '1 Controlavaggio, sciacquare   2 Guarnizioni e bordi', '3 Ammollo filtri, 20 min   4 Lance, vaschetta, scarico'],
      buttons: ['Fatto: tutto', 'Fatto: in parte', 'Non posso', 'Più tardi'],
    });
    await stage.until('22:10');
    await stage.person('mia').replies('Chiusura', 'non posso, manca detergente');
    expect((await seen(stage, 'sola acqua', '#bar')).lines).toEqual(['Va bene, stasera controlavaggio con sola acqua.', 'Niente sapone per piatti né candeggina al suo posto.', 'Dico a Ola che è finito.']);
    expect((await seen(stage, 'è finito il detergente', 'Ola')).buttons).toEqual(['Ordinato', 'Ne abbiamo', 'Ricordamelo alle 10']);
    await stage.until('22:28');
    await stage.person('pablo').replies('Chiusura', 'fatto tutto tranne ammollo');
    expect((await seen(stage, 'Grazie, Pablo')).lines[0]).toContain('fatti, 22:28.');
    await stage.until('tomorrow 7:30');
    expect((await seen(stage, 'Apertura')).lines[0]).toBe('Apertura, gruppi 1 e 2:');
    expect(await count(stage, 'Closing')).toBe(0);
    await stage.close();
  });
});
