import { message, type Message } from '../chat/message.ts';
import { closeDialogue, openDialogue } from '../store/dialogue.ts';
import { present, SET_UP_DIALOGUE, sayFor, type Talk } from './conversation.ts';
import { houseOf, type House } from './house.ts';
import { goLive } from './live.ts';
import { startedView } from './ready-view.ts';
import { READY } from './set-up.ts';

/** Where a yes or no in words belongs to the calls in danger. */
export const CALLS = 'calls';

const started = async (talk: Talk, id: string): Promise<Message> => {
  const { needs, tx, here } = talk;
  const house = await houseOf(tx, id);
  if (!house) throw new Error(`the café ${id} went away inside a transaction`);
  const { say, locale } = sayFor(talk, house);
  const tonight = await needs.tonight(tx, id, here.now, say);
  await openDialogue(tx, needs.ids, here.now, here.at, here.by.id, { kind: SET_UP_DIALOGUE, ref: CALLS, cafe: id });
  return startedView(house, tonight, here.now, say, locale);
};

/** The café goes live, once; pressed again it says the same. A set-up that is not at its end stays there. */
export const startNow = async (talk: Talk, house: House): Promise<Message> => {
  const { needs, tx, here } = talk;
  const { id, state, step } = house.cafe;
  if (state === 'draft' && (step ?? READY) !== READY) return present(talk, house);
  if (state === 'draft') await goLive(tx, needs.ids, here.now, id, needs.onLive);
  return started(talk, id);
};

/** May I call by name in danger, and write to the owner directly: the answer, given once at the end of the set-up. */
export const takeCalls = async (talk: Talk, house: House, yes: boolean): Promise<Message> => {
  const { tx, here } = talk;
  const { say } = sayFor(talk, house);
  await closeDialogue(tx, here.at, SET_UP_DIALOGUE, here.by.id);
  await tx.updateTable('cafe').set({ loud_danger: yes ? 1 : 0 }).where('id', '=', house.cafe.id).execute();
  await tx.updateTable('member').set({ direct_ok: yes ? 1 : 0 }).where('cafe', '=', house.cafe.id).where('person', '=', here.by.id).execute();
  return message([say(yes ? 'cafe.calls.yes' : 'cafe.calls.no'), say('cafe.calls.change')]);
};

