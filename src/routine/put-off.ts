import type { Ids } from '../store/id.ts';
import { setTimer } from '../store/timers.ts';
import type { Instant } from '../time/instant.ts';
import type { ListDesk, Told, Who } from './list-desk.ts';

/** Jobs of a list asked about again at `at`; null: left over, they come round by themselves. */
export const putOff = ({ act }: Pick<ListDesk, 'act'>, ids: Ids, list: { readonly cafe: string; readonly id: string }, jobs: readonly string[], at: Instant | null, who: Who, now: Instant): Promise<Told> =>
  act(list.cafe, list.id, jobs, at === null ? { kind: 'left over' } : { kind: 'later', until: at }, who, now, undefined, async (tx) => {
    if (at !== null) await setTimer(tx, ids, now, { key: `routine.again.${list.id}`, cafe: list.cafe, kind: 'routine.again', ref: list.id, at });
  });
