import type { Ack, Answer, Attachment } from '../chat/incoming.ts';
import type { Message } from '../chat/message.ts';
import type { Press } from '../chat/press.ts';
import type { Person, PlaceId } from '../chat/who.ts';
import type { Dialogue } from '../store/dialogue.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import type { Right } from './roles.ts';

/** What is known of everything that comes in. `event` is the platform's id of it; `locale` a language we have. */
export type Here = {
  readonly now: Instant;
  readonly event: string;
  readonly by: Person;
  readonly at: PlaceId;
  readonly space?: string;
  readonly locale: string;
};

/** A message of ours as the outbox knows it: what it is about. */
export type Shown = { readonly key: string; readonly kind: string; readonly data: unknown; readonly cafe: string | null };

export type Pressed = Here & {
  readonly press: Press;
  /** The platform's id of the message pressed on, and what it is when it came through the outbox. */
  readonly on?: string;
  readonly shown?: Shown;
  readonly picked: readonly string[];
  readonly pickedNames: Readonly<Record<string, string>>;
  /** Answers of a form, by question; empty for a plain press. */
  readonly answers: Readonly<Record<string, readonly string[]>>;
  readonly attachments: readonly Attachment[];
};

export type Said = Here & {
  readonly text: string;
  /** False when the platform withheld the text. */
  readonly readable: boolean;
  /** Was the bot meant: a direct message, a reply to it, its name? */
  readonly addressed: boolean;
  readonly reply?: Shown;
  readonly attachments: readonly Attachment[];
  readonly voice: boolean;
  /** Cafés this can be about: those of the channel, or the person's own in a direct message. */
  readonly cafes: readonly string[];
};

/** One kind of button (or form). The right is checked on every press, with the roles of this moment. */
export type PressRoute = {
  readonly kind: string;
  readonly ack: Ack;
  readonly right: Right | 'anyone';
  /** The café whose rights count; needed unless anyone may press. */
  readonly cafe?: (tx: Tx, press: Press) => Promise<string | undefined>;
  readonly take: (pressed: Pressed) => Promise<Answer>;
};

/** Several cafés can be meant: the router asks which, and the words are taken again for that one. */
export type WhichCafe = { readonly kind: 'which-cafe' };
export const WHICH_CAFE: WhichCafe = { kind: 'which-cafe' };

/** Something typed words can mean. Lower `order` looks first; undefined: not mine. */
export type WordsRoute = { readonly name: string; readonly order: number; readonly take: (said: Said) => Promise<Answer | WhichCafe | undefined> };

/**
 * A matter answered in typed words. `again` shows the open question once more after something else was answered.
 * `verbatim`: the words are taken as they stand, before anything is looked for in them.
 */
export type DialogueKind = {
  readonly kind: string;
  readonly verbatim?: (dialogue: Dialogue) => boolean;
  readonly take: (said: Said, dialogue: Dialogue) => Promise<Answer | undefined>;
  readonly again: (dialogue: Dialogue, here: Here) => Promise<Message | undefined>;
};

export type CommandRoute = {
  readonly name: string;
  readonly take: (command: Here & { readonly given: Readonly<Record<string, string>>; readonly cafes: readonly string[]; readonly on?: Shown }) => Promise<Answer | WhichCafe>;
};

export type TickMarkRoute = { readonly kind: string; readonly take: (mark: Here & { readonly shown: Shown; readonly given: boolean }) => Promise<Answer | undefined> };

/** How a notice of this kind looks now; undefined: it no longer matters and is dropped. */
export type NoticeKind = {
  readonly kind: string;
  readonly show: (notice: { readonly data: unknown; readonly cafe: string | null; readonly place: PlaceId; readonly now: Instant }) => Promise<Message | undefined>;
};

/** What happens when a timer of this kind runs out, inside the tick's transaction. */
export type TimerKind = {
  readonly kind: string;
  readonly fire: (tx: Tx, timer: { readonly key: string; readonly ref: string; readonly cafe: string | null; readonly at: Instant }, now: Instant) => Promise<void>;
};

/** Everything one subject brings: wired in main.ts, read by the router, the tick and the sender. */
export type Subject = {
  readonly presses?: readonly PressRoute[];
  readonly words?: readonly WordsRoute[];
  readonly dialogues?: readonly DialogueKind[];
  readonly commands?: readonly CommandRoute[];
  readonly tickMarks?: readonly TickMarkRoute[];
  readonly notices?: readonly NoticeKind[];
  readonly timers?: readonly TimerKind[];
};
