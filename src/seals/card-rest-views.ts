import { button, line, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { clockTime } from '../words/format.ts';
import { answerText, assuranceOf, headOf, type CardView, type Place, type Show } from './card-lines.ts';
import type { CardPart } from './cards-config.ts';
import { screenAt } from './job-card.ts';

/** The note that keeps others from switching on what is open. */
const noteOf = ({ say }: Show, { card, progress }: CardView): string =>
  say(assuranceOf(card.parts[screenAt(card, progress.at).part] as CardPart) === 'unplugged' ? 'cards.paused.note.plug' : 'cards.paused.note');

export const pausedMessage = (show: Show, view: CardView): Message => {
  const { say } = show;
  const { card, progress, run } = view;
  const part = card.parts[screenAt(card, progress.at).part] as CardPart;
  const cold = part.block === 'cold';
  const told = !cold ? [say('cards.paused.hot', { name: view.doer })] : progress.apart ? [noteOf(show, view), say('cards.paused.asks', { name: view.doer })] : [say(`cards.paused.${assuranceOf(part)}`)];
  const first = say('cards.paused', { head: headOf(show, card, view.group), time: clockTime(progress.touched, show.reader) });
  return message([line(first, 'strong'), ...told, ...(progress.residue ? [say('cards.residue')] : [])], [button(say('cards.button.go-on'), press('card.go-on', run), 'main'), ...(progress.apart ? [] : [button(say('cards.button.leave'), press('card.leave', run))])], [button(say('cards.button.wrong'), press('card.wrong', run))]);
};

export const wrongMessage = (show: Show, { run, card, group, stuck }: CardView): Message => {
  const { say } = show;
  return message(
    [line(say('cards.wrong', { head: headOf(show, card, group) }), 'strong'), say('cards.wrong.danger')],
    [button(say('cards.button.danger'), press('card.danger', run), 'danger')],
    [...(stuck ? [button(say('cards.button.stuck'), press('card.stuck', run))] : []), button(say('cards.button.questions'), press('card.questions', run)), button(say('cards.button.return'), press('card.return', run))],
  );
};

/** Orders for the first seconds, whatever it is; what kind it is comes after them. */
export const dangerLines = ({ say }: Show, place: Place): readonly string[] => [
  say('cards.danger.1'),
  say('cards.danger.2', { switch: place.switchOff ?? say('cards.danger.switch') }),
  say('cards.danger.3', { emergency: place.emergency ?? say('cards.danger.emergency') }),
  say('cards.danger.4'),
];

const technicianLine = ({ say }: Show, { technician }: Place): string =>
  technician === null ? say('cards.technician.none') : technician.telephone === null ? say('cards.technician.named', { name: technician.name }) : say('cards.technician', { name: technician.name, telephone: technician.telephone });

export const endedMessage = (show: Show, view: CardView): Message => {
  const { say } = show;
  const { card, group, progress, run, doer } = view;
  const result = progress.result ?? 'left';
  if (result === 'danger') return message(dangerLines(show, view.place).map((text, i) => (i === 0 ? line(text, 'danger') : line(text))), ...(progress.apart ? [[button(say('cards.button.whole'), press('card.whole', run))]] : []));
  const values = { head: headOf(show, card, group), time: clockTime(progress.touched, show.reader) };
  const first = progress.answer === null ? say(result === 'book' ? 'cards.end.stuck' : 'cards.end.left', values) : say('cards.end', { ...values, answer: answerText(show, progress.answer, view.place) });
  const asks = !view.inCase && result === 'same' ? [[button(say('cards.button.questions'), press('card.questions', run))]] : [];
  const whole = progress.apart ? [[button(say('cards.button.whole'), press('card.whole', run))]] : [];
  return message(
    [line(first, 'strong'), ...(result === 'left' ? [say('cards.end.left.1')] : [say(`cards.end.${result}`, { name: doer })]), ...(progress.apart ? [noteOf(show, view)] : []), ...(progress.residue ? [say('cards.residue')] : result === 'book' ? [technicianLine(show, view.place)] : [])],
    ...asks,
    ...(result === 'book' ? [[button(say('cards.button.book'), press('card.book', run), 'main')]] : []),
    ...whole,
  );
};
