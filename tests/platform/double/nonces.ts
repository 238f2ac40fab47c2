import type { Inside } from './inside.ts';
import { refusals } from './refusal.ts';
import { messageById, type Message } from './world.ts';

/** "The past few minutes" in the platform's words; no figure is published, three minutes is an assumption. */
export const NONCE_MS = 180_000;
type Kept = { readonly channelId: string; readonly messageId: string; readonly at: number };
const books = new WeakMap<Inside, Map<string, Kept>>();

function bookOf(inside: Inside): Map<string, Kept> {
  const book = books.get(inside) ?? new Map<string, Kept>();
  books.set(inside, book);
  return book;
}

/** The message a repeated nonce stands for; gone in the meantime is refused, not written anew. */
export function sameNonce(inside: Inside, channelId: string, nonce: unknown, enforce: unknown): Message | undefined {
  if (enforce !== true || (typeof nonce !== 'string' && typeof nonce !== 'number')) return undefined;
  const kept = bookOf(inside).get(`${channelId} ${nonce}`);
  if (!kept || inside.world.clock.now() - kept.at > NONCE_MS) return undefined;
  const message = messageById(inside.world, kept.channelId, kept.messageId);
  if (!message) throw refusals.unknownMessage();
  return message;
}

/** The platform speaks of one author, not of one channel: using a nonce in two channels is reported. */
export function keepNonce(inside: Inside, message: Message): void {
  if (message.nonce === undefined) return;
  const book = bookOf(inside);
  const elsewhere = [...book].find(([key, kept]) => key.endsWith(` ${message.nonce}`) && kept.channelId !== message.channelId);
  if (elsewhere) inside.problems.push({ kind: 'nonce in two channels', detail: String(message.nonce) });
  book.set(`${message.channelId} ${message.nonce}`, { channelId: message.channelId, messageId: message.id, at: message.createdAt });
}
