import { keepPhotos, keptFor } from '../cafe/kept-files.ts';
import type { Said, WordsRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message } from '../chat/message.ts';
import { dialogueOf } from '../store/dialogue.ts';
import { read, transact } from '../store/transact.ts';
import type { AskNeeds } from './ask-needs.ts';
import { caseById, type CaseRecord } from './records.ts';

export type CasePhotos = { readonly words: WordsRoute; readonly with: (take: WordsRoute['take']) => WordsRoute['take'] };

/** Photos sent with a complaint, or while its questions are open: kept for the technician, and said so. */
export const casePhotos = ({ store, words, ids, files }: AskNeeds): CasePhotos => {
  const openCase = (said: Said): Promise<CaseRecord | undefined> =>
    read(store, async (tx) => {
      const dialogue = await dialogueOf(tx, said.at, said.by.id);
      const row = dialogue?.kind === 'case' ? await caseById(tx, dialogue.ref) : undefined;
      return row && row.closed_at === null ? row : undefined;
    });

  const keep = async (said: Said): Promise<Answer | undefined> => {
    const row = said.attachments.some(({ kind }) => kind.startsWith('image/')) ? await openCase(said) : undefined;
    if (!row) return undefined;
    const kept = await keepPhotos({ store, ids, files }, { cafe: row.cafe, about: 'case', ref: row.id }, said.by, said.now, said.attachments);
    await transact(store, [row.cafe], async (tx) => {
      await tx.updateTable('fault_case').set({ photos: JSON.stringify((await keptFor(tx, 'case', row.id)).map(({ id }) => id)) }).where('id', '=', row.id).execute();
    });
    const say = words.in(said.locale);
    return { kind: 'say', message: message([kept.length === 0 ? say('ask.photos.refused') : say('ask.photos.kept', { count: kept.length })]) };
  };

  return {
    words: { name: 'case.photos', order: 45, take: async (said) => (said.text === '' ? keep(said) : undefined) },
    with: (take) => async (said) => {
      const answer = await take(said);
      return answer?.kind === 'noted' ? ((await keep(said)) ?? answer) : answer;
    },
  };
};
