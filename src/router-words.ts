import type { DialogueKind, Said, Subject, WhichCafe } from './cafe/subject.ts';
import type { Answer } from './chat/incoming.ts';
import type { Dialogue } from './store/dialogue.ts';

/** Words about danger are looked for first, up to this order. */
const DANGER_ORDER = 12;
/** Looked through before an open dialogue is asked; the others after it. */
const BEFORE_DIALOGUES = 50;

export type Routed = { readonly answer: Answer | WhichCafe; readonly byDialogue: boolean };

/** `whole`: the words with the café's name in them, for dangers: a name may hold a word that must not be lost. */
export type RouteWords = (said: Said, dialogue: Dialogue | undefined, kind: DialogueKind | undefined, whole?: string) => Promise<Routed | undefined>;

/** In which order typed words are looked through: what they can mean by themselves, the open dialogue, and the rest. The first that takes them answers. */
export const wordsRouter = (subjects: readonly Subject[]): RouteWords => {
  const routes = subjects.flatMap((subject) => subject.words ?? []).sort((a, b) => a.order - b.order);
  const [first, rest] = [routes.filter(({ order }) => order < BEFORE_DIALOGUES), routes.filter(({ order }) => order >= BEFORE_DIALOGUES)];

  return async (said, dialogue, kind, whole = said.text) => {
    const askDialogue = async (): Promise<Routed | undefined> => {
      const answer = dialogue && kind ? await kind.take(said, dialogue) : undefined;
      return answer && { answer, byDialogue: true };
    };
    if (dialogue && kind?.verbatim?.(dialogue)) {
      const routed = await askDialogue();
      if (routed) return routed;
    }
    for (const route of first) {
      const answer = await route.take(route.order <= DANGER_ORDER ? { ...said, text: whole } : said);
      if (answer) return { answer, byDialogue: false };
    }
    const routed = await askDialogue();
    if (routed) return routed;
    for (const route of rest) {
      const answer = await route.take(said);
      if (answer) return { answer, byDialogue: false };
    }
    return undefined;
  };
};
