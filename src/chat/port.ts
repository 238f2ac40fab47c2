import type { Message } from './message.ts';
import type { PersonId, PlaceId } from './who.ts';
import type { Instant } from '../time/instant.ts';

export type SendOptions = {
  /** The same for every attempt of one message; at most 25 characters. */
  readonly nonce: string;
  readonly silent?: boolean;
  /** Only these are called; nobody else, whatever the text says. */
  readonly notify?: readonly PersonId[];
  readonly notifyRoles?: readonly string[];
  readonly replyTo?: string;
};

/** Why a chat refused, in words of ours; `wait` in milliseconds where the chat said how long. */
export type Refusal =
  | { readonly why: 'channel-gone' | 'no-permission' | 'direct-closed' | 'archived' | 'message-gone' | 'too-large' }
  | { readonly why: 'unavailable'; readonly wait?: number };

export class ChatRefused extends Error {
  readonly refusal: Refusal;
  constructor(refusal: Refusal, options?: ErrorOptions) {
    super(`the chat refused: ${refusal.why}`, options);
    this.refusal = refusal;
  }
}

export type Found = { readonly kind: 'found'; readonly id: string } | { readonly kind: 'not-found' } | { readonly kind: 'unreadable' };

/** A chat as the sender sees it. Every method throws ChatRefused for what the chat will not do. */
export type Chat = {
  /** Sends and returns the platform's id of the message. */
  readonly send: (place: PlaceId, message: Message, options: SendOptions) => Promise<string>;
  readonly edit: (place: PlaceId, id: string, message: Message) => Promise<void>;
  readonly remove: (place: PlaceId, id: string) => Promise<void>;
  /** Looks in the place's own history for a message of ours that shows this, sent since then. */
  readonly find: (place: PlaceId, message: Message, since: Instant) => Promise<Found>;
  /** How long after an attempt a repeat with the same nonce is certain to be recognised, in milliseconds. */
  readonly nonceWindow: number;
};
