import { button, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { Say } from '../words/catalogue.ts';
import { listed } from '../words/format.ts';

/** Why a list cannot be done. */
export const whyMessage = (say: Say, reminder: string): Message => {
  const why = (reason: string) => button(say(`routine.cant.${reason}`), press('routine.cant-why', reminder, reason));
  return message([say('routine.cant')], [why('supplies'), why('time')], [why('broken'), why('not-shown')], [button(say('routine.cant.not-for-us'), press('routine.not-for-us', reminder))]);
};

/** When to ask again. */
export const laterMessage = (say: Say, reminder: string): Message => {
  const to = (when: string) => button(say(`routine.button.${when}`), press('routine.later-to', reminder, when));
  return message([say('routine.later')], [to('30'), to('quiet'), to('tomorrow')]);
};

type Row = { readonly position: number };
export type But = { readonly soaking: readonly Row[]; readonly open: readonly Row[]; readonly rest: readonly Row[] };

/** Numbers of the list alone: taken for done only after a press. `open`: those not named. */
export const numbersMessage = (say: Say, locale: string, reminder: string, named: readonly Row[], open: readonly Row[]): Message =>
  message([say('routine.numbers', { jobs: listed(named.map(({ position }) => String(position)), locale) })], [
    button(say('routine.button.done'), press('routine.but', reminder, open.map(({ position }) => position).join('.')), 'main'),
    button(say('routine.button.not-yet'), press('routine.not-yet', reminder)),
  ]);

/** What was understood of "done, but not that one", and the rest with one press. */
export const butMessage = (say: Say, locale: string, reminder: string, { soaking, open, rest }: But): Message => {
  const numbers = (rows: readonly Row[]): string => listed(rows.map(({ position }) => String(position)), locale);
  const kept = [...soaking, ...open];
  const lines = [...(soaking.length > 0 ? [say('routine.but.soaking', { jobs: numbers(soaking) })] : []), ...(open.length > 0 ? [say('routine.but.open', { jobs: numbers(open), count: open.length })] : [])];
  if (rest.length === 0) return message(lines);
  return message([...lines, say('routine.but.rest', { jobs: numbers(rest), count: rest.length })], [
    button(say('routine.button.rest'), press('routine.but', reminder, kept.map(({ position }) => position).join('.')), 'main'),
    button(say('routine.button.not-yet'), press('routine.not-yet', reminder, 'rest')),
  ]);
};
