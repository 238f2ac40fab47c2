import type { Cafe, Machine } from '../cafe/records.ts';
import type { Subject } from '../cafe/subject.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import { createAfterLook } from './look-after.ts';
import { createLookDesk, type SealNeeds } from './look-desk.ts';
import { createLooking } from './look.ts';
import { createOrdering } from './order.ts';
import { causeChances, knownAnswers, type CauseChance, type KnownAnswer } from './record-chances.ts';
import { createClosing } from './record-closing.ts';
import { createRecord, type SealChanged } from './record.ts';
import { createReckoner, type Reckoner } from './record-reckon.ts';

/** Looks at seals, their record, and what others need to know of them. */
export type Seals = Subject &
  Pick<Reckoner, 'forecastFor'> & {
    /** How the record moves the chances of causes; nothing where no group is named. */
    readonly recordsFor: (tx: Tx, cafe: Cafe, machine: Machine, group: number | null, now: Instant) => Promise<readonly CauseChance[]>;
    /** Asks which seal went in after a card was done; inside its transaction. */
    readonly changed: (tx: Tx, changed: SealChanged, now: Instant) => Promise<void>;
    /** A new seal passed the checks of its card. */
    readonly renewed: (tx: Tx, machine: string, group: number, now: Instant) => Promise<void>;
    /** Asks the owners to order seals that will soon be due; inside its transaction. */
    readonly toOrder: (tx: Tx, cafe: Cafe, now: Instant) => Promise<void>;
    readonly answersFor: (tx: Tx, cafe: Cafe, machine: Machine, group: number | null, now: Instant) => Promise<readonly KnownAnswer[]>;
  };

export const createSeals = (needs: SealNeeds): Seals => {
  const reckoner = createReckoner(needs.constants);
  const desk = createLookDesk(needs, reckoner);
  const looking = createLooking(desk);
  const after = createAfterLook(desk, looking.ofLook);
  const record = createRecord(desk);
  const closing = createClosing(desk);
  const ordering = createOrdering(desk);

  const withGroup = async <T>(tx: Tx, cafe: Cafe, machine: Machine, group: number | null, now: Instant, work: (found: NonNullable<Awaited<ReturnType<Reckoner['groupNow']>>>) => readonly T[]): Promise<readonly T[]> => {
    const found = group === null ? undefined : await reckoner.groupNow(tx, cafe, machine, group, now);
    return found ? work(found) : [];
  };

  return {
    forecastFor: reckoner.forecastFor,
    changed: record.changed,
    renewed: desk.sealRenewed,
    recordsFor: (tx, cafe, machine, group, now) => withGroup(tx, cafe, machine, group, now, (found) => causeChances(found, needs.constants, now)),
    toOrder: ordering.toOrder,
    answersFor: (tx, cafe, machine, group, now) => withGroup(tx, cafe, machine, group, now, (found) => knownAnswers(found, now)),
    presses: [...looking.presses, ...after.presses, ...record.presses, ...closing.presses, ...ordering.presses],
    words: [...looking.words, ...record.words],
    commands: [...looking.commands, ...record.commands],
    notices: [...looking.notices, ...after.notices, ...record.notices, ...ordering.notices],
    timers: [...looking.timers, ...after.timers, ...ordering.timers],
  };
};
