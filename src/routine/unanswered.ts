import { cafeById, ownersOf } from '../cafe/records.ts';
import type { NoticeKind, PressRoute } from '../cafe/subject.ts';
import { button, line, message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { direct, personId } from '../chat/who.ts';
import { post } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { read } from '../store/transact.ts';
import { instant, type Instant } from '../time/instant.ts';
import { dateAt } from '../time/wall-time.ts';
import { shortened } from '../words/format.ts';
import type { DoneNeeds } from './list-desk.ts';

/** So many closings without a word, and the owner is asked once; judgement, no source. */
export const SILENT_CLOSINGS = 7;

/** The last closings of a café, newest first: was anybody heard on each? */
const lastClosings = async (tx: Tx, cafe: string): Promise<readonly { readonly due_at: number; readonly heard: boolean }[]> => {
  const lists = await tx.selectFrom('reminder').select(['id', 'due_at']).where('cafe', '=', cafe).where('moment', '=', 'at-closing').orderBy('due_at', 'desc').limit(SILENT_CLOSINGS).execute();
  if (lists.length === 0) return [];
  const answered = await tx.selectFrom('occurrence').select('reminder').where('reminder', 'in', lists.map(({ id }) => id)).where('by_name', 'is not', null).where('by_name', '!=', '').execute();
  const heard = new Set(answered.map(({ reminder }) => reminder));
  return lists.map(({ id, due_at }) => ({ due_at, heard: heard.has(id) }));
};

/** Asks the owners, once for a silence, whether the lists fit the café. Nobody is named and nothing is posted louder. */
export const askAboutSilence = async (tx: Tx, { ids }: Pick<DoneNeeds, 'ids'>, cafeId: string, now: Instant): Promise<void> => {
  const closings = await lastClosings(tx, cafeId);
  const oldest = closings.at(-1);
  const cafe = await cafeById(tx, cafeId);
  if (!cafe || !oldest || closings.length < SILENT_CLOSINGS || closings.some(({ heard }) => heard)) return;
  const before = await tx.selectFrom('outbox').select('created_at').where('cafe', '=', cafeId).where('kind', '=', 'routine.silence').orderBy('created_at', 'desc').limit(1).executeTakeFirst();
  if (before && before.created_at >= oldest.due_at) return;
  const since = dateAt(instant(oldest.due_at), cafe.zone);
  for (const owner of (await ownersOf(tx, cafeId)).filter(({ direct_ok }) => direct_ok === 1))
    await post(tx, ids, now, { key: `silence.${cafeId}.${since}.${owner.id}`, cafe: cafeId, place: direct(personId(owner.person ?? '')), kind: 'routine.silence', data: { cafe: cafeId }, priority: 'other', silent: true });
};

export const silenceNotice = ({ store, words }: DoneNeeds): NoticeKind => ({
  kind: 'routine.silence',
  show: ({ data }) =>
    read(store, async (tx) => {
      const cafe = await cafeById(tx, (data as { cafe: string }).cafe);
      if (!cafe) return undefined;
      const say = words.in(cafe.language);
      return message(
        [line(say('routine.silence.first', { cafe: shortened(cafe.name, 24), count: SILENT_CLOSINGS }), 'strong'), say('routine.silence.ask')],
        [button(say('routine.silence.jobs'), press('routine.jobs', cafe.id)), button(say('routine.silence.settings'), press('cafe.show', cafe.id))],
        [button(say('routine.silence.keep'), press('routine.silence', cafe.id))],
      );
    }),
});

export const silenceRoute = ({ words }: DoneNeeds): PressRoute => ({
  kind: 'routine.silence', ack: 'update', right: 'own', cafe: async (_tx, given) => given.ids[0],
  take: async (pressed) => ({ kind: 'redraw', message: message([words.in(pressed.locale)('routine.silence.kept')]) }),
});
