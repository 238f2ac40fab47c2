import { cafeById } from '../cafe/records.ts';
import type { Pressed } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { PersonId } from '../chat/who.ts';
import { redraw } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import type { Instant } from '../time/instant.ts';
import { runKey, type Desk, type Room } from './card-desk.ts';
import { keepAway } from './card-gate.ts';
import { doerOf, noteShown, progressOf, runById, shownById, writeProgress, type CardShown } from './card-records.ts';
import { createScenes, type Scene } from './card-scene.ts';
import { handOver, screenAt } from './job-card.ts';

export type Hands = {
  /** "I take over", with the name chosen on a shared account, or `said`. */
  readonly mine: (pressed: Pressed) => Promise<Answer>;
  /** "Go on": as `otherwise`, but for a shared account, where the name is asked first. */
  readonly goOn: (pressed: Pressed, otherwise: (pressed: Pressed) => Promise<Answer>) => Promise<Answer>;
};

const MOST_NAMES = 9;

const nameRows = (marked: readonly CardShown[], run: string) => {
  const buttons = marked.slice(0, MOST_NAMES).map((each) => button(Array.from(each.name).slice(0, 20).join(''), press('card.mine', run, each.id)));
  return [buttons.slice(0, 3), buttons.slice(3, 6), buttons.slice(6)].filter((row) => row.length > 0);
};

const isHot = ({ run, card }: Scene): boolean => card.for !== 'grinder' && card.parts[screenAt(card, run.screen).part]?.block === 'hot';

/** Whose hands a card is in. */
export const createHands = (desk: Desk): Hands => {
  const { store, words, ids } = desk.needs;
  const { sceneOf, setWait } = createScenes(desk);

  const handTo = async (tx: Tx, scene: Scene, person: PersonId, name: string, now: Instant): Promise<void> => {
    const { run, card } = scene;
    const doer = { doer_person: person, doer_name: name };
    const progress = handOver(card, progressOf(run), doerOf(doer), now);
    await writeProgress(tx, run.id, progress, doer);
    await setWait(tx, scene, progress, now);
    await redraw(tx, runKey(run.id), now);
  };

  /** What still has to be asked before somebody may take a card over; undefined: nothing. */
  const mineGate = (scene: Scene, room: Room | undefined, person: PersonId, chosen: string | undefined, locale: string): Message | undefined => {
    const say = words.in(locale);
    const { run, card } = scene;
    const marks = (room?.marks ?? []).filter(({ job }) => job === card.job);
    const marked = marks.filter(({ how }) => how === 'marked');
    if (card.training === 'none' || marked.some(({ id }) => room?.phone && id === chosen)) return undefined;
    if (card.training === 'asked') {
      const known = room?.phone === true || chosen === 'said' || marks.some((each) => each.person === person);
      return known ? undefined : message([say('cards.gate.before')], [button(say('cards.button.have'), press('card.mine', run.id, 'said')), button(say('cards.button.read'), press('card.read', run.cafe, card.job))]);
    }
    if (room?.phone && marked.length > 0) return message([say('cards.who')], ...nameRows(marked, run.id));
    if (!room?.phone && marked.some((each) => each.person === person)) return undefined;
    return message([say('cards.gate.shown')], [button(say('cards.button.read'), press('card.read', run.cafe, card.job))]);
  };

  /** Somebody else goes on: only who may begin this card may take it over, and the machine's state is asked anew. */
  const mine: Hands['mine'] = async (pressed) => {
    const [runId = '', chosen] = pressed.press.ids;
    const cafeId = (await read(store, (tx) => runById(tx, runId)))?.cafe;
    const say = words.in(pressed.locale);
    if (cafeId === undefined) return { kind: 'redraw', message: message([say('cards.gone')]) };
    const answer = await transact(store, [cafeId], async (tx): Promise<Message> => {
      const scene = await sceneOf(tx, runId);
      if (typeof scene === 'string') return message([say(scene === 'gone' ? 'cards.gone' : 'cards.rewritten')]);
      if (scene.run.state === 'ended') return message([say('cards.over')]);
      if (keepAway(scene.machine) || (scene.machine.state === 'must stay off' && isHot(scene))) return message([say('cards.gate.stays-off'), say('cards.gate.stays-off.who')]);
      const room = await desk.enter(tx, scene.run.cafe, scene.run.machine, pressed.by);
      const asks = mineGate(scene, room, pressed.by.id, chosen, pressed.locale);
      if (asks) return asks;
      if (chosen === 'said' && !room?.phone) await noteShown(tx, ids, pressed.now, { cafe: cafeId, job: scene.card.job, person: pressed.by.id, name: pressed.by.name, how: 'said', marked_by: pressed.by.id, marked_name: pressed.by.name });
      const mark = chosen === undefined || chosen === 'said' ? undefined : await shownById(tx, chosen);
      await handTo(tx, scene, pressed.by.id, mark?.name ?? pressed.by.name, pressed.now);
      return message([say('cards.mine')]);
    });
    return { kind: 'redraw', message: answer };
  };

  /** On a shared account nobody knows who comes back to a cold machine: the name is asked again. */
  const goOn: Hands['goOn'] = async (pressed, otherwise) => {
    const asks = await read(store, async (tx) => {
      const run = await runById(tx, pressed.press.ids[0] ?? '');
      const card = run && desk.cardOf(run);
      const cafe = run && (await cafeById(tx, run.cafe));
      return run !== undefined && cafe !== undefined && card?.training === 'marked' && run.doer_person === pressed.by.id && (await desk.isPhone(tx, cafe, pressed.by));
    });
    if (!asks) return otherwise(pressed);
    const prompt = await mine({ ...pressed, press: press('card.mine', pressed.press.ids[0] ?? '') });
    return prompt.kind === 'redraw' ? { kind: 'noted', private: prompt.message } : prompt;
  };

  return { mine, goOn };
};
