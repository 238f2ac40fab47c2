import type { Press } from './press.ts';
import type { Form, Message } from './message.ts';
import type { Locale, Person, PersonId, PlaceId } from './who.ts';

/** A photo or paper somebody sent. `fetch` reads its bytes; links of platforms expire, so it is read at once. */
export type Attachment = { readonly name: string; readonly kind: string; readonly size: number; readonly fetch: () => Promise<Uint8Array> };

/** What came in, the same from every chat. `id` is the platform's, so that a repeat is known. */
export type Incoming = {
  readonly id: string;
  readonly by: Person;
  readonly at: PlaceId;
  /** The server, workspace or other house the place belongs to; absent in direct messages. */
  readonly space?: string;
  readonly locale?: Locale;
} & (
  | {
      readonly kind: 'words';
      readonly text: string;
      readonly replyTo?: string;
      /** False when the platform withheld the text from us. */
      readonly readable: boolean;
      /** Was the bot meant: a direct message, a reply to it, its name? */
      readonly addressed: boolean;
      readonly attachments?: readonly Attachment[];
      readonly voice?: true;
    }
  | { readonly kind: 'press'; readonly press: Press; readonly on?: string; readonly picked?: readonly string[]; readonly pickedNames?: Readonly<Record<string, string>> }
  | { readonly kind: 'answers'; readonly press: Press; readonly on?: string; readonly answers: Readonly<Record<string, readonly string[]>>; readonly attachments?: readonly Attachment[] }
  | { readonly kind: 'command'; readonly name: string; readonly given: Readonly<Record<string, string>>; readonly on?: string }
  | { readonly kind: 'tick-mark'; readonly on: string; readonly given: boolean }
);

/**
 * What goes back to the one who did something.
 * `redraw` changes the message pressed on; with `key` it is a message of the outbox, whose shown version is then noted.
 * `noted` only acknowledges: whatever changed reaches the chat through the outbox.
 * `private` is for the presser's eyes; typed words have no private answer, so there it is said in the place itself.
 */
export type Answer =
  | { readonly kind: 'redraw'; readonly message: Message; readonly private?: Message; readonly shows?: { readonly key: string; readonly version: number } }
  | { readonly kind: 'noted'; readonly private?: Message }
  | { readonly kind: 'private'; readonly message: Message }
  | { readonly kind: 'say'; readonly message: Message; readonly notify?: readonly PersonId[] }
  | { readonly kind: 'form'; readonly form: Form };

/** How a press is acknowledged; fixed before anything else happens. */
export type Ack = 'update' | 'private' | 'form';
