import type { Pressed } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message } from '../chat/message.ts';
import { redraw } from '../store/post.ts';
import { stopTimer } from '../store/timers.ts';
import { read, transact } from '../store/transact.ts';
import { runKey, type Desk } from './card-desk.ts';
import { closedUp, runById, setResidue } from './card-records.ts';

export type Left = { readonly whole: (pressed: Pressed) => Promise<Answer>; readonly rinsed: (pressed: Pressed) => Promise<Answer> };

/** What is put right after a card was left half-way. */
export const createLeft = (desk: Desk): Left => {
  const { store, words, book } = desk.needs;

  /** Left in pieces, and closed up since by whoever says so. */
  const whole: Left['whole'] = async (pressed) => {
    const runId = pressed.press.ids[0] ?? '';
    const say = words.in(pressed.locale);
    const cafeId = (await read(store, (tx) => runById(tx, runId)))?.cafe;
    if (cafeId === undefined) return { kind: 'private', message: message([say('cards.gone')]) };
    const done = await transact(store, [cafeId], async (tx) => {
      const run = await runById(tx, runId);
      if (run?.state !== 'ended') return false;
      await closedUp(tx, runId);
      await stopTimer(tx, `card.open.${runId}`);
      await redraw(tx, runKey(runId), pressed.now);
      return true;
    });
    return { kind: 'noted', private: message([say(done ? 'cards.whole' : 'cards.gone')]) };
  };

  /** Rinsed by whoever came by, whatever became of the card. */
  const rinsed: Left['rinsed'] = async (pressed) => {
    const runId = pressed.press.ids[0] ?? '';
    const cafeId = (await read(store, (tx) => runById(tx, runId)))?.cafe;
    const say = words.in(pressed.locale);
    if (cafeId === undefined) return { kind: 'redraw', message: message([say('cards.gone')]) };
    await transact(store, [cafeId], async (tx) => {
      const run = await runById(tx, runId);
      const card = run && book.cards.get(run.job);
      if (!run || run.residue === 0) return;
      await tx.updateTable('card_run').set({ residue: 0 }).where('id', '=', runId).execute();
      if (card && card.for !== 'bench') await setResidue(tx, run.machine, card.for === 'group' ? run.group_number : null, false, pressed.now);
      if (run.state === 'ended') await stopTimer(tx, `card.open.${runId}`);
      await redraw(tx, runKey(runId), pressed.now);
    });
    return { kind: 'redraw', message: message([say('cards.rinsed', { name: pressed.by.name })]) };
  };

  return { whole, rinsed };
};
