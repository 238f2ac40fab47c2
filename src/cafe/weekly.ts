import { z } from 'zod';
import { direct, personId, placeId, type PersonId, type PlaceId } from '../chat/who.ts';
import { dialogueOf, openDialogue } from '../store/dialogue.ts';
import { post } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { read } from '../store/transact.ts';
import type { Instant } from '../time/instant.ts';
import { asAsked, nextQuestion, readAsked, writeAsked } from './asked.ts';
import { factOf, type Fact } from './facts.ts';
import { houseOf, type House } from './house.ts';
import { planWeekly, WEEKLY } from './live.ts';
import type { CafeNeeds } from './needs.ts';
import type { NoticeKind, TimerKind } from './subject.ts';
import { weeklyView } from './weekly-view.ts';

export const QUESTION = 'cafe.question';

const dataSchema = z.object({ key: z.string(), machine: z.string().nullable(), to: z.enum(['owner', 'bar']) });
export type QuestionData = z.infer<typeof dataSchema>;
export const parseQuestion = (data: unknown): { readonly fact: Fact; readonly machine: string | null; readonly to: 'owner' | 'bar' } | undefined => {
  const parsed = dataSchema.safeParse(data);
  const fact = parsed.success ? factOf(parsed.data.key) : undefined;
  return parsed.success && fact ? { fact, machine: parsed.data.machine, to: parsed.data.to } : undefined;
};

export const questionNotice = ({ store, words, countries }: CafeNeeds): NoticeKind => ({
  kind: QUESTION,
  show: async ({ data, cafe }) => {
    const question = parseQuestion(data);
    const house = cafe === null ? undefined : await read(store, (tx) => houseOf(tx, cafe));
    if (!question || !house) return undefined;
    const locale = words.nearest(house.cafe.language);
    return weeklyView({ house, countries, ...question }, words.in(locale), locale);
  },
});

/** Where the owner is asked: directly where that was agreed, else in the café's channel. */
const ownersPlace = (house: House): { readonly place: PlaceId; readonly person?: PersonId } | undefined => {
  const agreed = house.members.find(({ role, person, direct_ok }) => role === 'owner' && person !== null && direct_ok === 1);
  if (agreed?.person) return { place: direct(personId(agreed.person)), person: personId(agreed.person) };
  return house.cafe.place === null ? undefined : { place: placeId(house.cafe.place) };
};

/** Puts a question into the outbox; typed words in direct messages answer it as long as nothing else is open there. */
export const postQuestion = async ({ ids }: CafeNeeds, tx: Tx, now: Instant, house: House, data: QuestionData, key: string): Promise<void> => {
  const { id, place } = house.cafe;
  const to = data.to === 'bar' ? (place === null ? undefined : { place: placeId(place) }) : ownersPlace(house);
  if (!to) return;
  await post(tx, ids, now, { key, cafe: id, place: to.place, kind: QUESTION, data, priority: 'other', silent: true });
  if ('person' in to && to.person !== undefined && !(await dialogueOf(tx, to.place, to.person)))
    await openDialogue(tx, ids, now, to.place, to.person, { kind: QUESTION, ref: key, cafe: id });
};

/** One question a week in a quiet hour, until all is known or nobody answers. */
export const weeklyTimer = (needs: CafeNeeds): TimerKind => ({
  kind: WEEKLY,
  fire: async (tx, { ref }, now) => {
    const house = await houseOf(tx, ref);
    if (!house || house.cafe.state === 'draft') return;
    if (house.cafe.state === 'paused') return planWeekly(tx, needs.ids, now, house.cafe, 7);
    const next = nextQuestion(house);
    if (!next) return;
    await postQuestion(needs, tx, now, house, { key: next.fact.key, machine: next.machine, to: 'owner' }, `${QUESTION}.${needs.ids(now)}`);
    await tx.updateTable('cafe').set({ asked: writeAsked(asAsked(readAsked(house.cafe.asked), next)) }).where('id', '=', ref).execute();
    await planWeekly(tx, needs.ids, now, house.cafe, 7);
  },
});

/** Somebody answered: the questions go on, in a week if they had stopped. */
export const noteAnswered = async ({ ids }: CafeNeeds, tx: Tx, now: Instant, house: House): Promise<void> => {
  const asked = readAsked(house.cafe.asked);
  if (asked.silent === 0) return;
  await tx.updateTable('cafe').set({ asked: writeAsked({ ...asked, silent: 0 }) }).where('id', '=', house.cafe.id).execute();
  const planned = await tx.selectFrom('timer').select('id').where('cafe', '=', house.cafe.id).where('kind', '=', WEEKLY).where('active', '=', 1).executeTakeFirst();
  if (!planned) await planWeekly(tx, ids, now, house.cafe, 7);
};
