import type { Machine } from '../cafe/records.ts';
import { folded } from '../cafe/fold.ts';
import { button, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { Say } from '../words/catalogue.ts';
import { shortened } from '../words/format.ts';

export const WHICH_MACHINE = 'case.machine';

type Named = Pick<Machine, 'id' | 'name'>;

/** The machine a sentence names: by its number ("machine 2", "M2"), by its place ("the second machine"), or by its own name. */
export const machineIn = (text: string, machines: readonly Named[], say: Say): Named | undefined => {
  const plain = ` ${folded(text)} `;
  const places = say('ask.machine.places').split('|');
  const word = say('ask.machine.word');
  const told = machines.filter(({ name }, i) => {
    const at = String(i + 1);
    const place = places[i] ?? '';
    return [`${word} ${at}`, `m${at}`, `${word} ${place}`, `${place} ${word}`, ...(name === null ? [] : [folded(name)])].some((each) => each.trim() !== '' && plain.includes(` ${folded(each)} `));
  });
  return told.length === 1 ? told[0] : undefined;
};

/** "The second one" answers the question; a longer sentence is about something else. */
const MOST_WORDS = 3;

/** As an answer to the question: a bare number or place is enough. */
export const machineAnswered = (text: string, machines: readonly Named[], say: Say): Named | undefined => {
  const spoken = folded(text).split(' ');
  const places = say('ask.machine.places').split('|');
  const short = spoken.length <= MOST_WORDS ? machines.filter((_, i) => spoken.includes(String(i + 1)) || spoken.includes(folded(places[i] ?? '-'))) : [];
  return short.length === 1 ? short[0] : machineIn(text, machines, say);
};

/** Which machine is meant: a button each. */
export const whichMachineMessage = (say: Say, machines: readonly Named[]): Message =>
  message([say('ask.machine.which')], machines.slice(0, 5).map(({ id, name }, i) => button(shortened(name ?? say('ask.machine.number', { number: i + 1 }), 20), press(WHICH_MACHINE, id))));
