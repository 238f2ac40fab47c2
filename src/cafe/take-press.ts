import type { Answer } from '../chat/incoming.ts';
import { message, type Message } from '../chat/message.ts';
import { read } from '../store/transact.ts';
import { act, askCleaning, leave, present, readTyped, sayFor, type Talk } from './conversation.ts';
import { factForm } from './form-view.ts';
import { houseOf, machineIn, type House } from './house.ts';
import type { CafeNeeds } from './needs.ts';
import { isPresent, readPress, spotOf } from './read-press.ts';
import { READY, stepBefore } from './set-up.ts';
import type { Pressed, PressRoute } from './subject.ts';
import { cafeOfPress, talking } from './talking.ts';
import { postQuestion, QUESTION } from './weekly.ts';

/** At the summary: back to the last question, or leave it. */
export const takeReady = async (talk: Talk, house: House, value: string): Promise<Message> => {
  if (value === 'leave') return leave(talk, house);
  if (value !== 'back') return present(talk, house);
  await talk.tx.updateTable('cafe').set({ step: stepBefore(READY, house) }).where('id', '=', house.cafe.id).execute();
  const after = await houseOf(talk.tx, house.cafe.id);
  return present(talk, after ?? house);
};

const answerRoute = (needs: CafeNeeds): PressRoute => ({
  kind: 'cafe.answer',
  ack: 'update',
  right: 'own',
  cafe: cafeOfPress,
  take: async (pressed) => {
    const [cafe, mode = '', key = '', value = ''] = pressed.press.ids;
    const shown = await talking(needs, pressed, cafe, async (talk, house) => {
      if (!isPresent(house, mode, key)) return present(talk, house);
      if (key === READY) return takeReady(talk, house, value);
      const spot = spotOf(pressed);
      if (!spot) return present(talk, house);
      return value === 'start' && key === 'hours' ? askCleaning(talk, house, mode) : act(talk, house, spot, readPress(pressed, house, spot, { countries: needs.countries, languages: needs.words.languages }));
    });
    return { kind: 'redraw', message: shown };
  },
});

const writeRoute = (needs: CafeNeeds): PressRoute => ({
  kind: 'cafe.write',
  ack: 'form',
  right: 'own',
  cafe: cafeOfPress,
  take: async (pressed): Promise<Answer> =>
    read(needs.store, async (tx) => {
      const spot = spotOf(pressed);
      const house = await houseOf(tx, pressed.press.ids[0] ?? '');
      if (!spot || !house) return { kind: 'private', message: message([needs.words.in(pressed.locale)('cafe.gone')]) };
      const { say } = sayFor({ needs, tx, here: pressed }, house);
      return { kind: 'form', form: factForm(spot.fact, house, spot.machine, pressed.press.ids, say) };
    }),
});

/** The text of a form: one line, or the two of name and town. */
export const textOf = (answers: Pressed['answers']): string => (answers['name'] ? `${(answers['name'][0] ?? '').replaceAll(',', ' ')}, ${(answers['town']?.[0] ?? '').split(',').join(' ')}` : (answers['text']?.[0] ?? '')).trim();

const wroteRoute = (needs: CafeNeeds): PressRoute => ({
  kind: 'cafe.wrote',
  ack: 'update',
  right: 'own',
  cafe: cafeOfPress,
  take: async (pressed) => {
    const [cafe, mode = '', key = ''] = pressed.press.ids;
    const shown = await talking(needs, pressed, cafe, async (talk, house) => {
      const spot = spotOf(pressed);
      return spot && isPresent(house, mode, key) ? act(talk, house, spot, readTyped(talk, house, spot, textOf(pressed.answers))) : present(talk, house);
    });
    return { kind: 'redraw', message: shown };
  },
});

/** Asked at the desk, told at the machine: the bar gets the question, the set-up goes on. */
const askBarRoute = (needs: CafeNeeds): PressRoute => ({
  kind: 'cafe.ask-bar',
  ack: 'update',
  right: 'own',
  cafe: cafeOfPress,
  take: async (pressed) => {
    const [cafe, mode = '', key = ''] = pressed.press.ids;
    const shown = await talking(needs, pressed, cafe, async (talk, house) => {
      const spot = spotOf(pressed);
      if (!spot?.fact.bar || !isPresent(house, mode, key)) return present(talk, house);
      await postQuestion(needs, talk.tx, pressed.now, house, { key, machine: spot.fact.of === 'machine' ? (machineIn(house, spot.machine)?.id ?? null) : null, to: 'bar' }, `${QUESTION}.${house.cafe.id}.${key}.${pressed.event}`);
      return act(talk, house, spot, { kind: 'skip' }, { key: 'cafe.question.asked' });
    });
    return { kind: 'redraw', message: shown };
  },
});

export const answerRoutes = (needs: CafeNeeds): readonly PressRoute[] => [answerRoute(needs), writeRoute(needs), wroteRoute(needs), askBarRoute(needs)];
