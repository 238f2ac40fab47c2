import type { Answer } from '../chat/incoming.ts';
import type { Message } from '../chat/message.ts';
import type { Dialogue } from '../store/dialogue.ts';
import { transact } from '../store/transact.ts';
import { act, ask, present, readTyped, sayFor, SET_UP_DIALOGUE, type Spot, type Talk } from './conversation.ts';
import { factOf } from './facts.ts';
import { isOneOf } from './fold.ts';
import { houseOf, type House } from './house.ts';
import type { CafeNeeds } from './needs.ts';
import { SET_UP } from './question-view.ts';
import { readSteering } from './read-fact.ts';
import { mayIn } from './rights.ts';
import { READY } from './set-up.ts';
import { addMachine, openSetting } from './settings.ts';
import { ADD_MACHINE } from './settings-view.ts';
import { CALLS, startNow, takeCalls } from './start.ts';
import type { DialogueKind, Said } from './subject.ts';
import { takeReady } from './take-press.ts';

/** Which question a dialogue stands at now; undefined when it is over. */
const spotOfDialogue = (house: House, ref: string): Spot | undefined => {
  if (ref === SET_UP) {
    const fact = house.cafe.state === 'draft' ? factOf(house.cafe.step ?? READY) : undefined;
    return fact && { mode: SET_UP, fact, machine: null };
  }
  const [, key = '', machine = ''] = ref.split('.');
  const fact = house.cafe.state === 'draft' ? undefined : factOf(key);
  return fact && { mode: String(house.cafe.rev), fact, machine: machine === '' ? null : machine };
};

const takeReadyWords = async (talk: Talk, house: House, text: string): Promise<Message | undefined> => {
  const { say } = sayFor(talk, house);
  const steering = readSteering(text, say);
  if (steering?.kind === 'back' || steering?.kind === 'leave') return takeReady(talk, house, steering.kind);
  return isOneOf(text, say('cafe.words.start')) ? startNow(talk, house) : undefined;
};

const takeMachineWords = async (talk: Talk, house: House, text: string): Promise<Message | undefined> => {
  const groups = factOf('groups');
  if (!groups || house.cafe.state === 'draft') return undefined;
  const reading = readTyped(talk, house, { mode: String(house.cafe.rev), fact: groups, machine: null }, text);
  if (reading.kind === 'unread' && talk.needs.requests(text)) return undefined;
  return reading.kind === 'known' ? addMachine(talk, house, Number(reading.value)) : reading.kind === 'unread' ? openSetting(talk, house, ADD_MACHINE) : present(talk, house);
};

const takeCallsWords = async (talk: Talk, house: House, text: string): Promise<Message | undefined> => {
  const { say } = sayFor(talk, house);
  const yes = isOneOf(text, say('cafe.words.yes'));
  return yes || isOneOf(text, say('cafe.words.no')) ? takeCalls(talk, house, yes) : undefined;
};

const takeInCafe = async (talk: Talk, house: House, ref: string, text: string): Promise<Message | undefined> => {
  if (ref === SET_UP && house.cafe.state === 'draft' && (house.cafe.step ?? READY) === READY) return takeReadyWords(talk, house, text);
  if (ref === CALLS) return takeCallsWords(talk, house, text);
  if (ref === 'machine') return takeMachineWords(talk, house, text);
  const spot = spotOfDialogue(house, ref);
  if (!spot) return undefined;
  const reading = readTyped(talk, house, spot, text);
  // Asking for something else is no wrong answer: that is what is done then.
  return reading.kind === 'unread' && house.cafe.state !== 'draft' && talk.needs.requests(text) ? undefined : act(talk, house, spot, reading);
};

/** Words at an open question of the set-up or of a change. In a channel only what is said to the bot counts. */
export const setUpDialogue = (needs: CafeNeeds, beginning: (said: Said, ref: string) => Promise<Answer | undefined>): DialogueKind => ({
  kind: SET_UP_DIALOGUE,
  take: async (said, { ref, cafe }: Dialogue) => {
    if (!said.addressed || !said.readable || said.text === '') return undefined;
    if (cafe === null) return beginning(said, ref);
    return transact(needs.store, [cafe], async (tx) => {
      const house = await houseOf(tx, cafe);
      if (!house || !(await mayIn(tx, cafe, said.by, 'own'))) return undefined;
      const shown = await takeInCafe({ needs, tx, here: said }, house, ref, said.text);
      return shown && { kind: 'say', message: shown };
    });
  },
  again: async ({ ref, cafe }, here) =>
    cafe === null
      ? undefined
      : transact(needs.store, [cafe], async (tx) => {
          const house = await houseOf(tx, cafe);
          const spot = house && spotOfDialogue(house, ref);
          return house && spot ? ask({ needs, tx, here }, house, spot) : undefined;
        }),
});
