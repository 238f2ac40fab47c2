import type { Acknowledgement, OpenForm } from './journal.ts';
import { refusals } from './refusal.ts';
import type { Attachment } from './world.ts';

export type InteractionKind = 'command' | 'press' | 'choices' | 'form';
export type Interaction = {
  readonly id: string;
  readonly token: string;
  readonly kind: InteractionKind;
  readonly byId: string;
  readonly channelId: string;
  /** The message pressed on, or the one the form came from. */
  readonly onMessageId?: string;
  readonly createdAt: number;
  acknowledged: Acknowledgement | undefined;
  /** What `@original` stands for. */
  originalId: string | undefined;
  /** The answer is for that person's eyes only. */
  onlyForAsker: boolean;
  form: OpenForm | undefined;
  /** Said "This interaction failed" to the person. */
  failed: boolean;
  /** Real milliseconds from the press to the acknowledgement, for measurements only. */
  readonly startedAt: number;
  tookMs: number | undefined;
};
/** From the platform's page on receiving and responding: first answer within 3 s, token good for 15 min. */
export const FIRST_ANSWER_MS = 3000;
export const TOKEN_MS = 15 * 60_000;

export type Interactions = {
  readonly all: ReadonlyMap<string, Interaction>;
  readonly add: (fresh: Pick<Interaction, 'id' | 'kind' | 'byId' | 'channelId' | 'onMessageId' | 'createdAt'>) => Interaction;
  /** For the first answer: 10062 when unknown or late, 40060 when answered before. */
  readonly waiting: (id: string, token: string, now: number) => Interaction;
  /** For what follows: 10015 before the first answer, 50027 once the token is old. */
  readonly answered: (token: string, now: number) => Interaction;
  /** Files handed in with a command or a form, by id: they stand in no message. */
  readonly files: Map<string, Attachment>;
  /** Those which ran out of time since last asked. */
  readonly expire: (now: number) => readonly Interaction[];
};

export function newInteractions(): Interactions {
  const all = new Map<string, Interaction>();
  const byToken = new Map<string, Interaction>();
  return {
    all,
    files: new Map(),
    add: (fresh) => {
      const interaction: Interaction = {
        ...fresh, token: `token-${fresh.id}`, acknowledged: undefined, originalId: undefined, onlyForAsker: false, form: undefined,
        failed: false, startedAt: performance.now(), tookMs: undefined,
      };
      all.set(interaction.id, interaction);
      byToken.set(interaction.token, interaction);
      return interaction;
    },
    waiting: (id, token, now) => {
      const found = all.get(id);
      if (!found || found.token !== token || now - found.createdAt > TOKEN_MS) throw refusals.unknownInteraction();
      if (found.acknowledged) throw refusals.alreadyAcknowledged();
      if (now - found.createdAt > FIRST_ANSWER_MS) throw refusals.unknownInteraction();
      return found;
    },
    answered: (token, now) => {
      const found = byToken.get(token);
      if (!found?.acknowledged) throw refusals.unknownWebhook();
      if (now - found.createdAt > TOKEN_MS) throw refusals.staleToken();
      return found;
    },
    expire: (now) => {
      const late = [...all.values()].filter((one) => !one.acknowledged && !one.failed && now - one.createdAt > FIRST_ANSWER_MS);
      for (const one of late) one.failed = true;
      return late;
    },
  };
}
