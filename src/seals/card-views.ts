import { button, line, message, type Button, type Line, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { later, minutes, type Instant } from '../time/instant.ts';
import { clockTime } from '../words/format.ts';
import { answerText, assuranceOf, blockPages, headOf, linesOf, stepLines, type CardView, type Show } from './card-lines.ts';
import { endedMessage, pausedMessage, wrongMessage } from './card-rest-views.ts';
import type { Card, CardPart, CardStep } from './cards-config.ts';
import { screenAt, screensOf, type CardScreen, type Progress } from './job-card.ts';

const numberedHead = (show: Show, { card, group, progress }: CardView): string =>
  show.say('cards.head.numbered', { head: headOf(show, card, group), n: progress.at + 1, m: screensOf(card).length });

const waitLine = (show: Show, step: CardStep, view: CardView): readonly Line[] => {
  if (step.wait === undefined || view.until === null) return [];
  return [line(show.say(step.wait === 'heat' ? 'cards.wait.heat' : 'cards.wait', { time: clockTime(view.until, show.reader) }), 'quiet')];
};

const blockMessage = (show: Show, view: CardView, part: CardPart, wanted: number): Message => {
  const { say } = show;
  const on = String(view.progress.at);
  const assurance = assuranceOf(part);
  const pages = blockPages(show, part, view.place);
  const page = Math.min(Math.max(0, wanted), pages.length - 1);
  const again = view.progress.goesTo !== null && page === 0;
  const turns = (label: string, to: number): Button => button(say(label), press('card.caution', view.run, on, String(to)));
  const last: readonly Button[] = [
    button(say(`cards.button.${assurance}`), press('card.ready', view.run, on), 'main'),
    button(say(assurance === 'ready' ? 'cards.button.not-now' : 'cards.button.not-yet'), press('card.not-yet', view.run, on)),
  ];
  return {
    // What is asked again says so in the heading, so that nobody takes it for the first time.
    title: again ? say('cards.block.again', { head: headOf(show, view.card, view.group) }) : numberedHead(show, view),
    ...message(pages[page] ?? [], page < pages.length - 1 ? [turns('cards.button.read-on', page + 1)] : last, [...(page > 0 ? [turns('cards.button.back', page - 1)] : []), button(say('cards.button.wrong'), press('card.wrong', view.run))]),
  };
};

const stepButtons = ({ say }: Show, { run, progress }: CardView, first: boolean): readonly (readonly Button[])[] => {
  const on = String(progress.at);
  return [
    [button(say('cards.button.next'), press('card.next', run, on), 'main'), ...(first ? [] : [button(say('cards.button.back'), press('card.back', run, on))])],
    [button(say('cards.button.wrong'), press('card.wrong', run)), button(say('cards.button.pause'), press('card.pause', run, on))],
  ];
};

const checkMessage = (show: Show, view: CardView): Message => {
  const { say } = show;
  const { run, card, progress } = view;
  const on = String(progress.at);
  const answers = card.check.answers.map(({ id }) => button(answerText(show, id, view.place), press('card.answer', run, on, id)));
  const rows = answers.length > 3 ? [answers.slice(0, 2), answers.slice(2)] : [answers];
  return message([line(numberedHead(show, view), 'strong'), ...linesOf(say(`cards.${card.job}.check`))], ...rows, [button(say('cards.button.back'), press('card.back', run, on)), button(say('cards.button.wrong'), press('card.wrong', run)), button(say('cards.button.pause'), press('card.pause', run, on))]);
};

const onMessage = (show: Show, view: CardView, page: number): Message => {
  const screen: CardScreen = screenAt(view.card, view.progress.at);
  switch (screen.kind) {
    case 'block':
      return blockMessage(show, view, view.card.parts[screen.part] as CardPart, page);
    case 'step':
      return message([line(numberedHead(show, view), 'strong'), ...stepLines(show, view.card, screen.number, view.place), ...waitLine(show, screen.step, view)], ...stepButtons(show, view, view.progress.at === 0));
    case 'check':
      return checkMessage(show, view);
  }
};

/** The card as it stands, in its one message; `page` of its cautions where it stands at them. */
export const cardMessage = (show: Show, view: CardView, page = 0): Message => {
  switch (view.progress.state) {
    case 'on':
      return onMessage(show, view, page);
    case 'paused':
      return pausedMessage(show, view);
    case 'wrong':
      return wrongMessage(show, view);
    case 'ended':
      return endedMessage(show, view);
  }
};

/** When the wait of the screen it stands at is over. */
export const waitUntil = (card: Card, progress: Progress, heat: number): Instant | null => {
  const screen = screenAt(card, progress.at);
  if (progress.state !== 'on' || screen.kind !== 'step' || screen.step.wait === undefined) return null;
  return later(progress.touched, minutes(screen.step.wait === 'heat' ? heat : screen.step.wait));
};
