import type { Logger } from 'pino';
import { cafeById, ownersOf } from '../cafe/records.ts';
import { message } from '../chat/message.ts';
import { direct, personId, type PlaceId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import { post, SAID, said } from '../store/post.ts';
import type { Store, Tx } from '../store/store.ts';
import { transact } from '../store/transact.ts';
import type { Clock } from '../time/clock.ts';
import type { Instant } from '../time/instant.ts';
import { dateAt } from '../time/wall-time.ts';
import type { Words } from '../words/catalogue.ts';
import { markFailed, type Delivery } from './outbox.ts';

/** Told of a message that was refused; true when what it was about has gone another way. */
export type Lost = (tx: Tx, notice: { readonly kind: string; readonly key: string; readonly place: PlaceId; readonly data: unknown }, why: string, now: Instant) => Promise<boolean>;

export type Reach = {
  /** A message the chat will not take: kept as failed, and told once a day, in words with the cure, to the café's owners. */
  readonly refused: (delivery: Delivery, why: string) => Promise<void>;
};

const isOwnersPlace = (owners: readonly { readonly person: string | null }[], place: PlaceId): boolean => owners.some(({ person }) => person !== null && direct(personId(person)) === place);

export const createReach = ({ store, words, ids, clock, log, lost }: { readonly store: Store; readonly words: Words; readonly ids: Ids; readonly clock: Clock; readonly log: Logger; readonly lost?: Lost }): Reach => ({
  refused: async (delivery, why) => {
    const now = clock.now();
    await transact(store, delivery.cafe === null ? [] : [delivery.cafe], async (tx) => {
      await markFailed(tx, delivery.id, why);
      if (await lost?.(tx, delivery, why, now)) return;
      const cafe = delivery.cafe === null ? undefined : await cafeById(tx, delivery.cafe);
      if (!cafe || cafe.state === 'gone') return;
      const owners = await ownersOf(tx, cafe.id);
      if (isOwnersPlace(owners, delivery.place)) return log.warn({ cafe: cafe.id, why }, 'an owner cannot be reached');
      for (const owner of owners) {
        const key = `trouble.${cafe.id}.${delivery.place}.${why}.${dateAt(now, cafe.zone)}.${owner.id}`;
        const text = words.in(owner.language ?? cafe.language)(`delivery.${why}`, { cafe: cafe.name });
        await post(tx, ids, now, { key, cafe: cafe.id, place: direct(personId(owner.person ?? '')), kind: SAID, data: said(message(text.split('\n'))), priority: 'other' });
      }
    });
  },
});
