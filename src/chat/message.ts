import type { PersonId, PlaceId } from './who.ts';
import type { Press } from './press.ts';

/** Plain text; each chat escapes it. A person or a place is named, never written as platform markup. */
export type Text = string | readonly (string | { readonly person: PersonId; readonly name: string } | { readonly place: PlaceId })[];

export type Tone = 'plain' | 'strong' | 'quiet' | 'danger';
export type Line = { readonly text: Text; readonly tone?: Tone };

export type Button =
  | { readonly label: string; readonly press: Press; readonly weight?: 'main' | 'plain' | 'danger' }
  | { readonly label: string; readonly link: string };

export type Option = { readonly value: string; readonly label: string; readonly hint?: string; readonly chosen?: true };

/** One pick out of a list; `many` allows several. Lists above 25 come paged from `pages.ts`. */
export type Choice = {
  readonly ask: string;
  readonly press: Press;
  readonly many?: { readonly least: number; readonly most: number };
  readonly from: readonly Option[] | 'people' | 'roles' | 'places';
};

/** `alt` says what the picture tells, for those who cannot see it. */
export type Picture = { readonly name: string; readonly alt: string; readonly draw: () => Promise<Uint8Array> };
export type File = { readonly name: string; readonly bytes: Uint8Array };

/** What the bot shows, the same in every chat. `limits.ts` refuses what no chat could show. */
export type Message = {
  readonly title?: Text;
  readonly lines: readonly Line[];
  readonly pictures?: readonly Picture[];
  readonly files?: readonly File[];
  readonly rows?: readonly (readonly Button[] | Choice)[];
};

export type Question = {
  readonly key: string;
  readonly label: string;
  readonly hint?: string;
  readonly optional?: true;
  readonly answer:
    | { readonly kind: 'words'; readonly long?: true; readonly most: number; readonly now?: string }
    | { readonly kind: 'pick'; readonly from: Choice['from']; readonly most: number }
    | { readonly kind: 'photos'; readonly most: number };
};

/** Up to five questions asked together. Opened by a press alone: never a reply to words or to another form. */
export type Form = { readonly title: string; readonly submit: Press; readonly questions: readonly [Question, ...Question[]] };

export const line = (text: Text, tone?: Tone): Line => (tone ? { text, tone } : { text });

/** A message of plain lines with rows of buttons below; rows without a button are left out. */
export const message = (lines: readonly (string | Line)[], ...rows: readonly (readonly Button[] | Choice)[]): Message => {
  const shown = rows.filter((row) => !Array.isArray(row) || row.length > 0);
  return { lines: lines.map((each) => (typeof each === 'string' ? { text: each } : each)), ...(shown.length > 0 ? { rows: shown } : {}) };
};

export const button = (label: string, press: Press, weight?: 'main' | 'plain' | 'danger'): Button =>
  weight ? { label, press, weight } : { label, press };

export const isChoice = (row: readonly Button[] | Choice): row is Choice => 'from' in row;

/** The text without platform markup: persons by name, places left out. */
export const plain = (text: Text): string =>
  typeof text === 'string' ? text : text.map((part) => (typeof part === 'string' ? part : 'name' in part ? part.name : '')).join('');
