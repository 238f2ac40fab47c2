import { pino } from 'pino';
import { assemble, readConfig, type Bot } from '../../src/assemble.ts';
import { seedDemo } from '../../src/cafe/demo.ts';
import type { Answer, Incoming } from '../../src/chat/incoming.ts';
import { shownText } from '../../src/chat/limits.ts';
import type { Message } from '../../src/chat/message.ts';
import { ChatRefused, type Chat, type Refusal } from '../../src/chat/port.ts';
import { channel, personId, type PlaceId } from '../../src/chat/who.ts';
import { createIds } from '../../src/store/id.ts';
import type { Store } from '../../src/store/store.ts';
import { transact } from '../../src/store/transact.ts';
import { rehearsalClock, type RehearsalClock } from '../../src/time/clock.ts';
import { instant } from '../../src/time/instant.ts';

export type Sent = { readonly id: string; readonly place: PlaceId; readonly nonce: string; message: Message; edits: number; readonly loud: boolean };

/** A chat that only remembers, and fails on demand. */
export type Recorder = Chat & {
  readonly sent: Sent[];
  /** What happens at the next sends: done and answered, refused, or done with its answer lost. */
  readonly next: ('lost' | Refusal)[];
  readonly texts: () => readonly string[];
};

export const recorder = (options: { readonly nonceWindow?: number; readonly history?: boolean } = {}): Recorder => {
  const sent: Sent[] = [];
  const next: ('lost' | Refusal)[] = [];
  return {
    sent,
    next,
    texts: () => sent.map(({ message }) => shownText(message)),
    nonceWindow: options.nonceWindow ?? 120_000,
    send: async (place, message, { nonce, silent }) => {
      const fate = next.shift();
      if (fate !== undefined && fate !== 'lost') throw new ChatRefused(fate);
      const known = sent.find((each) => each.place === place && each.nonce === nonce);
      const entry = known ?? { id: `m${sent.length + 1}`, place, nonce, message, edits: 0, loud: silent !== true };
      if (!known) sent.push(entry);
      if (fate === 'lost') throw new ChatRefused({ why: 'unavailable' });
      return entry.id;
    },
    edit: async (_place, id, message) => {
      const entry = sent.find((each) => each.id === id);
      if (!entry) throw new ChatRefused({ why: 'message-gone' });
      entry.message = message;
      entry.edits++;
    },
    remove: async (_place, id) => {
      sent.splice(sent.findIndex((each) => each.id === id), 1);
    },
    find: async (place, message) => {
      if (options.history === false) return { kind: 'unreadable' };
      const found = sent.find((each) => each.place === place && shownText(each.message) === shownText(message));
      return found ? { kind: 'found', id: found.id } : { kind: 'not-found' };
    },
  };
};

export const silentLog = pino({ level: 'silent' });
const config = readConfig('config');

export type Bench = { readonly bot: Bot; readonly chat: Recorder; readonly clock: RehearsalClock; readonly cafe: string };

/** The whole bot at the invented café, with a chat that remembers. Starts Tue 2027-03-09 21:58:30 in Valencia. */
export const atLanternStreet = async (store: Store, chat: Recorder = recorder(), start = '2027-03-09T20:58:30Z'): Promise<Bench> => {
  const clock = rehearsalClock(instant(Date.parse(start)), 0);
  const ids = createIds();
  const bot = assemble({ store, chat, clock, log: silentLog, ids, config });
  const cafe = await transact(store, [], (tx) => seedDemo(tx, ids, clock.now(), bot.onLive));
  const known = cafe ?? (await transact(store, [], (tx) => tx.selectFrom('cafe').select('id').executeTakeFirstOrThrow())).id;
  return { bot, chat, clock, cafe: known };
};

export const at = (clock: RehearsalClock, utc: string): void => clock.moveTo(instant(Date.parse(utc)));

let count = 0;
/** Someone of the bar says or presses something in #bar. */
export const inBar = (who: string, what: { readonly text: string; readonly replyTo?: string } | { readonly press: string; readonly ids: readonly string[]; readonly on?: string }, id = `e${++count}`): Incoming => ({
  id, by: { id: personId(who), name: who.charAt(0).toUpperCase() + who.slice(1), roles: ['bar'], manages: false }, at: channel('bar'), space: 'lantern',
  ...('text' in what ? { kind: 'words' as const, text: what.text, readable: true, addressed: true, ...(what.replyTo === undefined ? {} : { replyTo: what.replyTo }) } : { kind: 'press' as const, press: { kind: what.press, ids: what.ids }, ...(what.on === undefined ? {} : { on: what.on }) }),
});

export const textOf = (answer: Answer | undefined): string => {
  if (!answer) return '';
  if (answer.kind === 'form') return answer.form.title;
  if (answer.kind === 'noted') return answer.private ? shownText(answer.private) : '';
  return [shownText(answer.message), ...('private' in answer && answer.private ? [shownText(answer.private)] : [])].join('\n');
};
