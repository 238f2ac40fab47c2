import type { Logger } from 'pino';
import { cafeById, ownersOf, type Cafe } from '../cafe/records.ts';
import type { NoticeKind } from '../cafe/subject.ts';
import { message } from '../chat/message.ts';
import { direct, personId, type PlaceId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import { post } from '../store/post.ts';
import type { Store, Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import type { Clock } from '../time/clock.ts';
import type { Instant } from '../time/instant.ts';
import { dateAt } from '../time/wall-time.ts';
import type { Words } from '../words/catalogue.ts';
import { shortened } from '../words/format.ts';
import { markFailed, type Delivery } from './outbox.ts';
import { endTrouble, isMendable, isWorthWaiting, noteTrouble, roadsTo } from './roads.ts';

/** Told of a message that was refused; true when what it was about has gone another way. */
export type Lost = (tx: Tx, notice: { readonly kind: string; readonly key: string; readonly place: PlaceId; readonly data: unknown }, why: string, now: Instant) => Promise<boolean>;

export type Reach = {
  /**
   * A message the chat will not take. Where the place may be mended it waits, with growing pauses; the owners are told
   * once, in words with the cure, on the first road that is open.
   */
  readonly refused: (delivery: Delivery, why: string) => Promise<void>;
  /** A message arrived at a place that was in trouble: what waited for it goes. */
  readonly arrived: (place: PlaceId) => Promise<void>;
  readonly notice: NoticeKind;
};

export const TROUBLE = 'delivery.trouble';

/** What is told of a place in trouble, and the roads not tried yet. */
type TroubleTold = { readonly cafe: string; readonly place: PlaceId; readonly why: string; readonly key: string; readonly roads: readonly PlaceId[] };

export type ReachNeeds = { readonly store: Store; readonly words: Words; readonly ids: Ids; readonly clock: Clock; readonly log: Logger; readonly lost?: Lost };

export const createReach = ({ store, words, ids, clock, log, lost }: ReachNeeds): Reach => {
  /** Says it on the first road left; a road that is closed too hands it on. */
  const tell = async (tx: Tx, told: TroubleTold, now: Instant): Promise<void> => {
    const [road, ...roads] = told.roads;
    if (road === undefined) return log.warn({ cafe: told.cafe, why: told.why }, 'no owner can be reached');
    await post(tx, ids, now, { key: `${told.key}.${roads.length}`, cafe: told.cafe, place: road, kind: TROUBLE, data: { ...told, roads }, priority: 'other' });
  };

  /** Once a trouble where the place may be mended, else once a day. */
  const tellOnce = async (tx: Tx, cafe: Cafe, place: PlaceId, why: string, since: number | string, now: Instant): Promise<void> => {
    const key = `trouble.${cafe.id}.${place}.${why}.${since}`;
    const before = await tx.selectFrom('outbox').select('id').where('key', 'like', `${key}.%`).executeTakeFirst();
    if (!before) await tell(tx, { cafe: cafe.id, place, why, key, roads: await roadsTo(tx, cafe, place) }, now);
  };

  const wait = async (tx: Tx, delivery: Delivery, cafe: Cafe, why: string, now: Instant): Promise<void> => {
    const { since, next } = await noteTrouble(tx, ids, cafe.id, delivery.place, why, now);
    if (isWorthWaiting(delivery, next)) await tx.updateTable('outbox').set({ state: 'ready', not_before: next }).where('id', '=', delivery.id).execute();
    await tellOnce(tx, cafe, delivery.place, why, since, now);
  };

  const inCafe = async (tx: Tx, delivery: Delivery, why: string, now: Instant): Promise<void> => {
    await markFailed(tx, delivery.id, why);
    if (await lost?.(tx, delivery, why, now)) return;
    const cafe = delivery.cafe === null ? undefined : await cafeById(tx, delivery.cafe);
    // Whoever took the bot out is left alone.
    if (!cafe || cafe.state === 'gone') return;
    if (delivery.kind === TROUBLE) return tell(tx, delivery.data as TroubleTold, now);
    if (isMendable(why)) return wait(tx, delivery, cafe, why, now);
    await tellOnce(tx, cafe, delivery.place, why, dateAt(now, cafe.zone), now);
  };

  return {
    refused: (delivery, why) => transact(store, delivery.cafe === null ? [] : [delivery.cafe], (tx) => inCafe(tx, delivery, why, clock.now())),
    arrived: (place) => transact(store, [], (tx) => endTrouble(tx, place, clock.now())),
    notice: {
      kind: TROUBLE,
      show: ({ data, place }) =>
        read(store, async (tx) => {
          const told = data as TroubleTold;
          const cafe = await cafeById(tx, told.cafe);
          if (!cafe) return undefined;
          const owner = (await ownersOf(tx, cafe.id)).find(({ person }) => person !== null && direct(personId(person)) === place);
          return message(words.in(owner?.language ?? cafe.language)(`delivery.${told.why}`, { cafe: shortened(cafe.name, 24) }).split('\n'));
        }),
    },
  };
};
