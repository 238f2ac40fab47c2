import type { Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message } from '../chat/message.ts';
import { placeId } from '../chat/who.ts';
import { redraw } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { complaintOf, stuckAt } from './card-complaints.ts';
import { runKey, type Desk } from './card-desk.ts';
import { answerText, headOf } from './card-lines.ts';
import { progressOf, runById } from './card-records.ts';
import type { Running } from './card-run.ts';
import { createScenes, type Scene } from './card-scene.ts';
import { screenAt } from './job-card.ts';

type Found = { readonly stuck: boolean; readonly answer: string | null; readonly like: string; readonly text: string };

/** From a card to a technician: a part that will not come out, is broken, or a last check that the bar cannot answer. */
export const createForTechnician = (desk: Desk, { settle }: Pick<Running, 'settle'>): { readonly presses: readonly PressRoute[] } => {
  const { store, words, complaints, forTechnician, askBooking } = desk.needs;
  const { sceneOf } = createScenes(desk);

  /** A part is stuck where the card stands; undefined where it has gone on meanwhile. */
  const stuckIn = ({ run, card, cafe }: Scene): Found | undefined => {
    const show = desk.show(cafe);
    const progress = progressOf(run);
    const like = progress.state === 'wrong' ? stuckAt(complaints, card, progress) : undefined;
    const screen = screenAt(card, progress.goesTo ?? progress.at);
    return like === undefined ? undefined : { stuck: true, answer: null, like, text: show.say('cards.for-technician.stuck', { head: headOf(show, card, run.group_number), step: screen.kind === 'step' ? screen.number : 1 }) };
  };

  /** A check of the card, at its end or asked again, was answered so that only a technician can go on. */
  const failedIn = async (tx: Tx, { run, card, cafe }: Scene): Promise<Found | undefined> => {
    const show = desk.show(cafe);
    const told = await tx.selectFrom('card_check').select('answer').where('run', '=', run.id).where('leads', '=', 'book').orderBy('at', 'desc').limit(1).executeTakeFirst();
    const like = told && complaintOf(complaints, card, told.answer, progressOf(run));
    return like === undefined ? undefined : { stuck: false, answer: told?.answer ?? null, like, text: show.say('cards.for-technician.check', { head: headOf(show, card, run.group_number), answer: answerText(show, told?.answer ?? '') }) };
  };

  /** The case of the card, opened once. */
  const caseOf = async (tx: Tx, scene: Scene, found: Found, pressed: Pressed): Promise<string> => {
    const { run } = scene;
    if (run.case_id !== null) return run.case_id;
    const opened = await forTechnician(tx, { ...found, cafe: run.cafe, machine: run.machine, group: run.group_number, card: run.job, place: placeId(run.place), by: pressed.by }, pressed.now);
    await tx.updateTable('card_run').set({ case_id: opened }).where('id', '=', run.id).execute();
    return opened;
  };

  const take = (stuck: boolean) => async (pressed: Pressed): Promise<Answer> => {
    const id = pressed.press.ids[0] ?? '';
    const cafe = (await read(store, (tx) => runById(tx, id)))?.cafe;
    const opened = cafe === undefined ? undefined : await transact(store, [cafe], async (tx) => {
      const scene = await sceneOf(tx, id);
      if (typeof scene === 'string') return undefined;
      const { run, card, cafe: house } = scene;
      if (!stuck && run.case_id !== null) return run.case_id;
      const found = stuck ? stuckIn(scene) : await failedIn(tx, scene);
      if (!found) return undefined;
      const caseId = await caseOf(tx, scene, found, pressed);
      // What is open stays open, and off, until somebody says that it is whole again.
      if (stuck) await settle(tx, run, card, house, { ...progressOf(run), state: 'ended', result: 'book', answer: null, goesTo: null, assured: null, touched: pressed.now }, { person: pressed.by.id, name: pressed.by.name }, pressed.now);
      await redraw(tx, runKey(id), pressed.now);
      return caseId;
    });
    return opened === undefined ? { kind: 'private', message: message([words.in(pressed.locale)('chat.tooOld')]) } : askBooking(pressed, opened);
  };

  const cafe: PressRoute['cafe'] = async (tx, given) => (await runById(tx, given.ids[0] ?? ''))?.cafe;
  const route = (kind: string, stuck: boolean): PressRoute => ({ kind, ack: 'private', right: 'answer', cafe, take: take(stuck) });
  return { presses: [route('card.book', false), route('card.stuck', true)] };
};
