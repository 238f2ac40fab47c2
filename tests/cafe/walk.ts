import type { Message } from '../../src/chat/message.ts';
import type { PlaceId } from '../../src/chat/who.ts';
import { BAR, labelsOf, linesOf, type World } from './world.ts';

/** The steps of the set-up after its first form, each with the usual answer to it. */
export const STEPS: readonly { readonly step: string; readonly asks: string; readonly answer: (world: World, at: Message, place: PlaceId) => Promise<Message> }[] = [
  { step: 'zone', asks: 'Valencia. Is it', answer: (world, at, place) => world.tap('ola', at, 'Yes', place) },
  {
    step: 'hours',
    asks: 'When are you open?',
    answer: async (world, at, place) => world.tap('ola', await world.write('ola', at, 'Write hours', 'tue-sun 8-22:30, closed mon', place), "That's it", place),
  },
  { step: 'groups', asks: 'The coffee machine: how many groups?', answer: (world, at, place) => world.tap('ola', at, '2', place) },
  { step: 'lever', asks: 'Is there a big lever', answer: (world, at, place) => world.tap('ola', at, 'No lever', place) },
  { step: 'exhaust', asks: 'Stop a shot', answer: (world, at, place) => world.tap('ola', at, 'Yes', place) },
  { step: 'bar', asks: 'Who works the bar?', answer: (world, at, place) => world.pick('ola', at, 'A role of this server', { bar: 'bar' }, place) },
  { step: 'switch', asks: 'If it ever smells of burning', answer: (world, at, place) => world.write('ola', at, 'Write it', 'black switch under the till marked COFFEE', place) },
  { step: 'emergency', asks: 'Emergency number: 112', answer: (world, at, place) => world.tap('ola', at, '112 is right', place) },
  { step: 'technician', asks: 'Your technician', answer: (world, at, place) => world.write('ola', at, 'Write it', 'Ana 555 0134', place) },
  { step: 'ready', asks: 'Ready.', answer: (world, at, place) => world.tap('ola', at, 'Start tonight', place) },
];

export const begin = async (world: World, place: PlaceId = BAR, name = 'Lantern Street', town = 'Valencia'): Promise<Message> =>
  world.fill('ola', await world.open('ola', await world.command('ola', 'cafe', place), 'Start', place), { name, town }, place);

/** The message of this step, everything before it answered as usual. */
export const walkTo = async (world: World, step: string, place: PlaceId = BAR): Promise<Message> => {
  let at = await begin(world, place);
  for (const each of STEPS) {
    if (!linesOf(at).some((line) => line.startsWith(each.asks))) throw new Error(`expected "${each.asks}" but: ${linesOf(at).join(' / ')} [${labelsOf(at).join('] [')}]`);
    if (each.step === step) return at;
    at = await each.answer(world, at, place);
  }
  if (step !== 'live') throw new Error(`no step ${step}`);
  return at;
};

export const asked = (message: Message | undefined): string => {
  const lines = message ? linesOf(message) : [];
  return STEPS.find(({ asks }) => lines.some((line) => line.startsWith(asks)))?.step ?? lines.join(' / ');
};
