import { button, message, type Button, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { blockPages, linesOf, stepLines, type Place, type Show } from './card-lines.ts';
import type { Card, CardPart } from './cards-config.ts';
import { screensOf } from './job-card.ts';

type Leaf = readonly string[];

/** Everything a card shows, leaf by leaf, for reading. */
const leavesOf = (show: Show, card: Card, place: Place): readonly Leaf[] =>
  screensOf(card).flatMap((screen): readonly Leaf[] => {
    switch (screen.kind) {
      case 'block':
        return blockPages(show, card.parts[screen.part] as CardPart, place);
      case 'step':
        return [stepLines(show, card, screen.number, place)];
      case 'check':
        return [linesOf(show.say(`cards.${card.job}.check`))];
    }
  });

/** The card to look at only: its cautions and steps one after the other, with nothing to answer. */
export const readingMessage = (show: Show, card: Card, place: Place, cafe: string, at: number): Message => {
  const { say } = show;
  const leaves = leavesOf(show, card, place);
  const page = Math.min(Math.max(0, at), leaves.length - 1);
  const turn = (label: string, to: number): Button => button(say(label), press('card.page', cafe, card.job, String(to)));
  return {
    title: say('cards.reading', { title: say(`cards.${card.job}.title`), n: page + 1, m: leaves.length }),
    ...message(
      leaves[page] ?? [],
      [...(page < leaves.length - 1 ? [turn('cards.button.next', page + 1)] : []), ...(page > 0 ? [turn('cards.button.back', page - 1)] : [])],
      [button(say('cards.button.start'), press('card.start', cafe, card.job, '-', '-'))],
    ),
  };
};
