import { cafeById, type Cafe } from '../cafe/records.ts';
import type { NoticeKind, TimerKind } from '../cafe/subject.ts';
import { message } from '../chat/message.ts';
import { placeId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import { post } from '../store/post.ts';
import type { Store, Tx } from '../store/store.ts';
import { setTimer, stopTimer } from '../store/timers.ts';
import { read } from '../store/transact.ts';
import { instant, later, minutes, type Instant } from '../time/instant.ts';
import type { Words } from '../words/catalogue.ts';
import { clockTime } from '../words/format.ts';
import { dutiesOf, type Duty } from './records.ts';

export const NUDGE = 'routine.nudge';
const keyOf = (cafe: string): string => `${NUDGE}.${cafe}`;

const isClosing = ({ moment, active }: Duty): boolean => active === 1 && (JSON.parse(moment) as { kind: string }).kind === 'at-closing';

/** The next closing list of these duties. */
const nextClosing = (duties: readonly Duty[]): Instant | undefined => {
  const dues = duties.flatMap((duty) => (duty.next_due !== null && isClosing(duty) ? [duty.next_due] : []));
  return dues.length === 0 ? undefined : instant(Math.min(...dues));
};

/** A silent word before the next closing list, where the café wants one. */
export const planNudge = async (tx: Tx, ids: Ids, cafe: Cafe, duties: readonly Duty[], now: Instant): Promise<void> => {
  const ahead = Number(cafe.nudge_minutes ?? 0);
  const due = nextClosing(duties);
  if (ahead === 0) return cafe.nudge_minutes === null ? undefined : stopTimer(tx, keyOf(cafe.id));
  const at = due === undefined ? undefined : later(due, -minutes(ahead));
  if (at !== undefined && at > now) await setTimer(tx, ids, now, { key: keyOf(cafe.id), cafe: cafe.id, kind: NUDGE, ref: cafe.id, at });
};

export const nudgeTimer = (ids: Ids): TimerKind => ({
  kind: NUDGE,
  fire: async (tx, { ref }, now) => {
    const cafe = await cafeById(tx, ref);
    const due = nextClosing(await dutiesOf(tx, ref));
    if (!cafe || cafe.state !== 'live' || cafe.place === null || due === undefined || due <= now || due > later(now, minutes(Number(cafe.nudge_minutes ?? 0)))) return;
    await post(tx, ids, now, { key: `${NUDGE}.${ref}.${due}`, cafe: ref, place: placeId(cafe.place), kind: NUDGE, data: { cafe: ref, due }, priority: 'reminder', silent: true, notAfter: due });
  },
});

export const nudgeNotice = (store: Store, words: Words): NoticeKind => ({
  kind: NUDGE,
  show: ({ data }) =>
    read(store, async (tx) => {
      const { cafe: id, due } = data as { readonly cafe: string; readonly due: number };
      const cafe = await cafeById(tx, id);
      if (!cafe) return undefined;
      const count = (await dutiesOf(tx, id)).filter((duty) => duty.next_due === due && isClosing(duty)).length;
      return count === 0 ? undefined : message([words.in(cafe.language)('routine.nudge', { time: clockTime(instant(due), { locale: cafe.language, zone: cafe.zone }), count })]);
    }),
});
