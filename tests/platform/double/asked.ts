import type { Acknowledgement, Choice, Entry, OpenForm } from './journal.ts';
import type { Inside } from './inside.ts';
import type { Interaction } from './interactions.ts';
import type { Message } from './world.ts';

/** A press, a pick, a form sent or a command given, and what a person then sees. */
export type Asked = {
  readonly id: string;
  readonly interaction: Interaction;
  /** How it was taken first; rejects when "This interaction failed" came instead. */
  readonly acknowledged: () => Promise<Acknowledgement>;
  /** The first thing to read: a reply, a filled later reply, or the message pressed on, redrawn. */
  readonly answer: () => Promise<Message>;
  /** The n-th (from 1) message only this person sees. */
  readonly privately: (n?: number) => Promise<Message>;
  /** The message pressed on, after its next change. */
  readonly redrawn: () => Promise<Message>;
  readonly form: () => Promise<OpenForm>;
  readonly choices: () => Promise<readonly Choice[]>;
  /** Resolves when the person is told "This interaction failed". */
  readonly failed: () => Promise<void>;
};
type Of<K extends Entry['kind']> = Extract<Entry, { kind: K }>;
const THINKING = 1 << 7;

/** First entry since `since` on which one of the tests takes, or an error if the platform gave the interaction up. */
export function asked(inside: Inside, interaction: Interaction, since: number): Asked {
  const { journal } = inside;
  const { id } = interaction;
  const wait = async <K extends Entry['kind']>(kinds: readonly K[], what: string, fits: (entry: Of<K>) => boolean): Promise<Of<K>> => {
    const ours = (entry: Entry): entry is Of<K> | Of<'interaction failed'> =>
      (entry.kind === 'interaction failed' && entry.interactionId === id) || ((kinds as readonly string[]).includes(entry.kind) && fits(entry as Of<K>));
    const entry = await journal.until(since, what, ours);
    if (entry.kind === 'interaction failed' && !(kinds as readonly string[]).includes('interaction failed')) throw new Error('This interaction failed');
    return entry as Of<K>;
  };
  const changed = ['message created', 'message edited'] as const;
  return {
    id,
    interaction,
    acknowledged: async () => (await wait(['interaction acknowledged'], 'an acknowledgement', (entry) => entry.interactionId === id)).how,
    answer: async () => (await wait(changed, 'an answer', (entry) => entry.interactionId === id && (entry.message.flags & THINKING) === 0)).message,
    privately: async (n = 1) => {
      const seen = new Set<string>();
      return (await wait(changed, `private message ${n}`, (entry) => {
        if (entry.interactionId !== id || entry.message.onlyFor === undefined || (entry.message.flags & THINKING) !== 0) return false;
        return seen.add(entry.message.id).size >= n;
      })).message;
    },
    redrawn: async () => (await wait(['message edited'], 'the message to be redrawn', (entry) => entry.message.id === interaction.onMessageId)).message,
    form: async () => (await wait(['form opened'], 'a form', (entry) => entry.interactionId === id)).form,
    choices: async () => (await wait(['choices offered'], 'choices', (entry) => entry.interactionId === id)).choices,
    failed: async () => void (await wait(['interaction failed'], 'the interaction to fail', (entry) => entry.interactionId === id)),
  };
}
