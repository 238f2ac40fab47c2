import { button, message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { direct, personId, placeId } from '../chat/who.ts';
import { post, SAID, said } from '../store/post.ts';
import type { Instant } from '../time/instant.ts';
import { plusDays } from '../time/local-date.ts';
import { dateAt, instantOf, localTime } from '../time/wall-time.ts';
import { shortened } from '../words/format.ts';
import { NUDGE } from './live.ts';
import type { CafeNeeds } from './needs.ts';
import { cafeById, ownersOf } from './records.ts';
import { houseOf } from './house.ts';
import { READY, stepsLeft } from './set-up.ts';
import type { TimerKind } from './subject.ts';

const MORNING = localTime('09:30');

/** Half past nine on the day after. */
export const nextMorning = (now: Instant, zone: string): Instant => instantOf(plusDays(dateAt(now, zone), 1), MORNING, zone);

/** A set-up left half-way is mentioned once, the next morning; then it waits in silence. */
export const nudgeTimer = ({ words, ids }: CafeNeeds): TimerKind => ({
  kind: NUDGE,
  fire: async (tx, { ref }, now) => {
    const cafe = await cafeById(tx, ref);
    const house = cafe?.state === 'draft' ? await houseOf(tx, ref) : undefined;
    const [owner] = await ownersOf(tx, ref);
    if (!cafe || !house || !owner?.person) return;
    const say = words.in(cafe.language);
    const person = personId(owner.person);
    const place = owner.direct_ok === 1 || cafe.place === null ? direct(person) : placeId(cafe.place);
    const left = stepsLeft(cafe.step ?? READY, house);
    const text = message([say('cafe.nudge', { name: shortened(cafe.name, 24), count: left }), say('cafe.nudge.once')], [button(say('cafe.button.carryOn'), press('cafe.open', ref))]);
    await post(tx, ids, now, { key: `${NUDGE}.${ref}`, cafe: ref, place, kind: SAID, data: said(text), priority: 'other', silent: true, notify: [person] });
  },
});
