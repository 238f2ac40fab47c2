import { button, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { Closes } from './closing.ts';
import type { Show } from './look-views.ts';

/** To which side the handle is pushed to lock it, and what is known of it. */
export const closingMessage = ({ say }: Pick<Show, 'say'>, machine: string, group: number, closes: Closes | undefined): Message => {
  const ids = [machine, String(group)] as const;
  const to = (side: Closes) => button(say(`look.closes.${side}`), press('record.closes-is', ...ids, side));
  return message([say('record.closes', { group, closes: closes ?? 'none' }), say('look.ask.closes')], [to('right'), to('left')], [button(say('record.button.back'), press('record.group', ...ids))]);
};

export const closingNotedMessage = ({ say }: Pick<Show, 'say'>, machine: string, group: number, closes: Closes): Message =>
  message([say('record.closes.noted', { group, closes })], [button(say('record.button.back'), press('record.group', machine, String(group)))]);
