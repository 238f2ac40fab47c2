import { button, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { instant } from '../time/instant.ts';
import { shortDate } from '../words/format.ts';
import type { Show } from './look-views.ts';
import { screens } from './question-pictures.ts';
import type { GroupView } from './record-views.ts';

const SCREEN_ANSWERS = ['blocked', 'dented', 'turning'] as const;

export const screenMessage = (show: Show, { group, machine, screen, screenSince }: GroupView): Message => {
  const { say, reader } = show;
  const ids = [machine, String(group)] as const;
  const held = say(`record.screen.${screen ?? 'unknown'}`, { group });
  const since = screenSince === null ? [] : [say('record.screen.since', { date: shortDate(instant(screenSince), reader) })];
  return {
    ...message([held, ...since, say('record.screen.ask')], [button(say('record.screen.new'), press('record.screen-is', ...ids, 'new'), 'main')], SCREEN_ANSWERS.map((word) => button(say(`record.screen.${word}`), press('record.screen-is', ...ids, word))), [button(say('record.button.back'), press('record.group', ...ids))]),
    pictures: [screens(say)],
  };
};

/** A screen somebody has just said something of; `held`: how, where it is known. */
export type ScreenNoted = { readonly cafe: string; readonly machine: string; readonly group: number; readonly seen: string; readonly held: 'screw' | 'seal' | 'block' | undefined; readonly mayOpen: boolean };

/** The job that ends it; nothing for a new one. */
const jobFor = ({ seen, held }: ScreenNoted): string | undefined => {
  if (seen === 'blocked') return 'screen-any-clean';
  if (seen === 'dented') return 'new-screen';
  if (seen === 'turning') return held === undefined || held === 'screw' ? 'screen-tight' : 'screen-any-clean';
  return undefined;
};

/** Noted, and what ends it one press away. */
export const screenNotedMessage = ({ say }: Show, noted: ScreenNoted): Message => {
  const { cafe, machine, group, seen, mayOpen } = noted;
  const job = jobFor(noted);
  const first = say('record.screen.noted', { group });
  if (job === undefined) return message([first]);
  if (!mayOpen) return message([first, say('record.screen.do.technician')]);
  return message([first, say(`record.screen.do.${seen}`)], [button(say('record.button.card'), press('card.start', cafe, job, String(group), '-', machine))]);
};
