import type { Message } from './world.ts';

export type Choice = { readonly name: string; readonly value: string | number };
type Each<K extends string, Rest> = K extends unknown ? { readonly kind: K } & Rest : never;
export type Happening =
  | Each<'message created' | 'message edited' | 'message deleted', { readonly message: Message; readonly interactionId?: string }>
  | Each<'reaction added' | 'reaction removed', { readonly message: Message; readonly userId: string; readonly emoji: string }>
  | { readonly kind: 'interaction acknowledged'; readonly interactionId: string; readonly how: Acknowledgement }
  | { readonly kind: 'interaction failed'; readonly interactionId: string }
  | { readonly kind: 'form opened'; readonly interactionId: string; readonly form: OpenForm }
  | { readonly kind: 'choices offered'; readonly interactionId: string; readonly choices: readonly Choice[] }
  | { readonly kind: 'commands registered'; readonly scope: string; readonly names: readonly string[] }
  | Each<'bot connected' | 'bot resumed' | 'bot disconnected' | 'bot beat', { readonly sessionId: string }>
  | { readonly kind: 'answered'; readonly route: string; readonly status: number };
export type Acknowledgement = 'reply' | 'later reply' | 'later update' | 'update' | 'choices' | 'form';
/** A form on a person's screen. `byId` is the only one who can send it. */
export type OpenForm = {
  readonly customId: string;
  readonly title: string;
  readonly components: readonly Readonly<Record<string, unknown>>[];
  readonly byId: string;
  readonly interactionId: string;
};
export type Entry = Happening & { readonly n: number };
export type Journal = {
  readonly entries: readonly Entry[];
  /** A place in the journal; what is noted later counts as "after". */
  readonly mark: () => number;
  readonly note: (happening: Happening) => void;
  /** The first entry from `since` on which `test` takes; waits for it, and says what did happen if it never comes. */
  readonly until: <E extends Entry>(since: number, what: string, test: (entry: Entry) => entry is E) => Promise<E>;
};

/** Ends a wait that would otherwise hang the run in silence; nothing is measured with it. */
const PATIENCE = 20_000;

const line = (entry: Entry): string => {
  if ('message' in entry) return `${entry.kind}: ${entry.message.content.slice(0, 60)}`;
  return 'route' in entry ? `${entry.kind}: ${entry.route} ${entry.status}` : entry.kind;
};

export function newJournal(patience = PATIENCE): Journal {
  const entries: Entry[] = [];
  const waiting = new Set<(entry: Entry) => void>();
  const until = <E extends Entry>(since: number, what: string, test: (entry: Entry) => entry is E): Promise<E> => {
    const found = entries.slice(since).find(test);
    if (found) return Promise.resolve(found);
    return new Promise<E>((resolve, reject) => {
      const timer = setTimeout(() => {
        waiting.delete(look);
        const since0 = entries.slice(since).map(line);
        reject(new Error(`waited in vain for ${what}; since then: ${since0.join(' | ') || 'nothing'}`));
      }, patience);
      const look = (entry: Entry): void => {
        if (!test(entry)) return;
        clearTimeout(timer);
        waiting.delete(look);
        resolve(entry);
      };
      waiting.add(look);
    });
  };
  const note = (happening: Happening): void => {
    const entry: Entry = { ...happening, n: entries.length };
    entries.push(entry);
    for (const look of waiting) look(entry);
  };
  return { entries, mark: () => entries.length, note, until };
}
