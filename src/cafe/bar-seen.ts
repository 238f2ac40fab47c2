import type { Person, PlaceId } from '../chat/who.ts';
import type { Store } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { days, type Instant } from '../time/instant.ts';
import { cafesAt } from './records.ts';

/** How old what is known may grow before it is written anew, so that not every word costs a write. */
const FRESH = days(1);

/**
 * Keeps who has the bar's role in a café's channel, and forgets who has it no longer. In direct messages the platform
 * tells no roles, and the people at the bar write there too.
 */
export const noteBar = async (store: Store, by: Person, at: PlaceId, now: Instant): Promise<void> => {
  const changed = await read(store, async (tx) => {
    const here = (await cafesAt(tx, at)).filter((cafe) => cafe.bar_role !== null);
    const known = here.length === 0 ? [] : await tx.selectFrom('bar_seen').selectAll().where('person', '=', by.id).where('cafe', 'in', here.map(({ id }) => id)).execute();
    return here.flatMap((cafe) => {
      const seen = known.find((row) => row.cafe === cafe.id);
      const has = cafe.bar_role !== null && by.roles.includes(cafe.bar_role);
      return has === (seen !== undefined) && (!seen || now - seen.at < FRESH) ? [] : [{ cafe: cafe.id, has }];
    });
  });
  for (const { cafe, has } of changed)
    await transact(store, [cafe], async (tx) => {
      await tx.deleteFrom('bar_seen').where('cafe', '=', cafe).where('person', '=', by.id).execute();
      if (has) await tx.insertInto('bar_seen').values({ cafe, person: by.id, at: now }).execute();
    });
};
