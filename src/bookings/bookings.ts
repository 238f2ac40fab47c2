import { cafeById, techniciansOf, type Technician } from '../cafe/records.ts';
import type { Subject } from '../cafe/subject.ts';
import type { Catalogue } from '../faults/catalogue.ts';
import { caseById, type DangerRecord } from '../faults/records.ts';
import { readMachineFacts } from '../cafe/machine-facts.ts';
import type { Ids } from '../store/id.ts';
import type { Store, Tx } from '../store/store.ts';
import { days, later, type Instant } from '../time/instant.ts';
import type { Words } from '../words/catalogue.ts';
import { createArrange } from './arrange.ts';
import { roundOf } from './booking-state.ts';
import { bringFor, type PartsBook } from './bring.ts';
import { closingMessage } from './closing.ts';
import { CLOCK, createDesk } from './desk.ts';
import { createDraw } from './draw.ts';
import { createHanding, nothingRecorded } from './handing.ts';
import { needOf, troubleOf } from './need.ts';
import { assumedDesk } from './offers.ts';
import { bookingById, bookingOf, bookingOfDanger, linkedIn } from './records.ts';
import { createTechnicians } from './technicians.ts';
import { TECHNICIAN, type TechnicianTold } from './told.ts';
import { createWish } from './wish.ts';

export type BookingsNeeds = {
  readonly store: Store;
  readonly words: Words;
  readonly ids: Ids;
  readonly catalogue: Catalogue;
  readonly parts: PartsBook;
  /** Brings everything that shows a case up to date. */
  readonly refreshCase: (tx: Tx, caseId: string, now: Instant) => Promise<void>;
  /** A technician says that a machine may be used again. */
  readonly free: (tx: Tx, machine: string, by: string, reason: string, now: Instant) => Promise<void>;
};

export type Bookings = Subject & {
  /** Asks the technician because of a danger; the name asked, or undefined when people have to telephone. */
  readonly urgent: (tx: Tx, danger: DangerRecord, now: Instant) => Promise<string | undefined>;
  /** A message to a technician was refused: whoever is next is asked. False: not a message of ours. */
  readonly lost: (tx: Tx, notice: { readonly kind: string; readonly data: unknown }, now: Instant) => Promise<boolean>;
};

/** Bookings of technicians: from the verdict to the end of the visit, both sides. */
export const createBookings = ({ store, words, ids, catalogue, parts, refreshCase, free }: BookingsNeeds): Bookings => {
  const causes = new Set(catalogue.causes.map(({ id }) => id));
  const isCause = (cause: string): boolean => cause.split('+').every((part) => causes.has(part));
  const desk = createDesk({ store, ids, refreshCase });
  const handing = createHanding({
    catalogue, recordOf: async () => nothingRecorded, placeOfCafe: async () => null, photosOf: async () => [],
    bringFor: (likely, machine) => bringFor(parts, likely, machine ? (readMachineFacts(machine.facts).seal ?? null) : null),
  });
  const draw = createDraw({
    store, words, handing, isCause, deskOf: async (_tx, _technician: Technician, zone, now) => assumedDesk(zone, now),
    closing: (show, row, view) => closingMessage(show, row, { ...view, mustStayOff: view.handed.machine?.state === 'must stay off' }, isCause),
  });
  const wish = createWish({ store, ids, desk, showFor: draw.showFor });
  const technicians = createTechnicians({ store, words, ids });
  const arrange = createArrange({ store, words, ids, desk, draw, free, links: technicians.buttons });

  const urgent: Bookings['urgent'] = async (tx, danger, now) => {
    const known = await bookingOfDanger(tx, danger.id);
    const cafe = await cafeById(tx, danger.cafe);
    if (!cafe || known) return undefined;
    const linked = linkedIn(await techniciansOf(tx, cafe.id));
    const aCase = danger.case_id === null ? undefined : await caseById(tx, danger.case_id);
    const need = await needOf(tx, await troubleOf(tx, cafe, aCase, danger), linked, () => undefined, now);
    const row = await desk.open(tx, { cafe: cafe.id, caseId: aCase?.id ?? null, dangerId: danger.id, machine: danger.machine, about: 'danger', need, suits: [{ start: now, end: later(now, days(2)) }], by: { id: danger.by_person, name: danger.by_name } }, now);
    return linked.find(({ id }) => id === row.technician)?.name;
  };

  return {
    urgent,
    lost: async (tx, { kind, data }, now) => {
      if (kind !== TECHNICIAN) return false;
      const told = data as TechnicianTold;
      const row = await bookingById(tx, told.booking);
      if (!row || roundOf(bookingOf(row)) !== told.round) return false;
      await desk.applyIn(tx, row, { kind: 'cannot be reached', technician: told.technician, round: told.round }, now);
      return true;
    },
    presses: [...wish.presses, ...arrange.presses, ...technicians.presses],
    words: technicians.words,
    commands: arrange.commands,
    notices: [...draw.notices, ...wish.notices],
    timers: [{
      kind: CLOCK,
      fire: async (tx, { ref }, now) => {
        const row = await bookingById(tx, ref);
        if (row) await desk.applyIn(tx, row, { kind: 'time passed' }, now);
      },
    }],
  };
};
