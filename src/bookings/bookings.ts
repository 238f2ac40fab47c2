import { readMachineFacts } from '../cafe/machine-facts.ts';
import { cafeById, techniciansOf, type Cafe, type Machine } from '../cafe/records.ts';
import type { ReadRequest } from '../cafe/requests.ts';
import type { Pressed, PressRoute, Subject } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { press } from '../chat/press.ts';
import type { Catalogue } from '../faults/catalogue.ts';
import { caseById, type DangerRecord } from '../faults/records.ts';
import type { Files } from '../store/files.ts';
import type { Ids } from '../store/id.ts';
import type { Store, Tx } from '../store/store.ts';
import { days, later, type Instant } from '../time/instant.ts';
import type { Words } from '../words/catalogue.ts';
import { createArrange } from './arrange.ts';
import { bringFor, partsFor, sizesToBring, type PartsBook, type SealSize } from './bring.ts';
import { closedFor, type Closed } from './closed.ts';
import { closingMessage, type Closing } from './closing.ts';
import { createCloseMore } from './close-more.ts';
import { causesIn } from './cause-words.ts';
import type { DangerSaid } from './close-danger.ts';
import { createCloseOut } from './close-out.ts';
import { createDay } from './day.ts';
import { CLOCK, createDesk } from './desk.ts';
import { deskFor, spotOf, worksFor } from './desks.ts';
import { createDetails } from './details.ts';
import { createDraw } from './draw.ts';
import { createFreeing } from './freeing.ts';
import { createHanding, type MachineRecord } from './handing.ts';
import { createLost, type Notice } from './lost.ts';
import { writeFitted } from './fitted-record.ts';
import { machineRecord } from './machine-record.ts';
import { needOf, troubleOf } from './need.ts';
import { createOrder } from './order.ts';
import { createPhotos, photoFacts } from './photos.ts';
import { createPressing } from './pressing.ts';
import { bookingById, bookingOfDanger, linkedIn, type BookingRecord } from './records.ts';
import { readReport, type LeadRange } from './report.ts';
import { refresh } from './told.ts';
import { createSaid } from './said.ts';
import { createService } from './service.ts';
import { createTechnicians } from './technicians.ts';
import { toolsFor } from './tools.ts';
import { createTyped } from './typed.ts';
import { createUnderWay } from './under-way.ts';
import { createAskOff } from './ask-off.ts';
import { createStillWanted } from './still-wanted.ts';
import { createStock } from './stock.ts';
import { shimHeight } from '../parts/shim-part.ts';
import { partNamesIn } from './part-words.ts';
import { takeFromStock } from './used.ts';
import { createWish } from './wish.ts';

export type BookingsNeeds = {
  readonly store: Store;
  readonly words: Words;
  readonly ids: Ids;
  readonly files: Files;
  readonly catalogue: Catalogue;
  readonly parts: PartsBook;
  /** What is asked for in plain words. */
  readonly requests: ReadRequest;
  /** The danger that words tell of, in any language. */
  readonly dangerIn: (locale: string, text: string) => DangerSaid | undefined;
  /** Brings everything that shows a case up to date. */
  readonly refreshCase: (tx: Tx, caseId: string, now: Instant) => Promise<void>;
  /** A technician says that a machine may be used again. */
  readonly free: (tx: Tx, machine: string, by: string, reason: string, now: Instant) => Promise<void>;
  /** A technician says that a group may be used again; a danger told of it since is not undone by this. */
  readonly groupBack: (tx: Tx, machine: string, group: number) => Promise<void>;
  /** What others know of a machine; its seals and handles where this is left out. */
  readonly recordOf?: (tx: Tx, cafe: Cafe, machine: Machine, now: Instant) => Promise<MachineRecord>;
  /** Leads that a ramp can have, as the seals reckon with them. */
  readonly leadRange: LeadRange;
  /** Sizes of seal that a group may want, with chances; empty where nothing is recorded. */
  readonly sizesOf?: (tx: Tx, machine: Machine, group: number, now: Instant) => Promise<readonly SealSize[]>;
  /** For whoever learns: after a visit, and again with the same id when it is corrected, which replaces what was told before. */
  readonly onFitted?: Closed['onFitted'];
  readonly onFinding?: Closed['onFinding'];
};

export type Bookings = Subject & {
  /** Asks the technician because of a danger; the name asked, or undefined when people have to telephone. */
  readonly urgent: (tx: Tx, danger: DangerRecord, now: Instant) => Promise<string | undefined>;
  /** A danger stands otherwise than it did: what shows it is drawn anew. */
  readonly dangerMoved: (tx: Tx, danger: string, now: Instant) => Promise<void>;
  /** Asks when the technician suits for a case, as its own button would. */
  readonly askFor: (pressed: Pressed, caseId: string) => Promise<Answer>;
  /** A fault is said to be fixed: whether its visit is still wanted is asked once. */
  readonly fixed: (tx: Tx, caseId: string, now: Instant) => Promise<void>;
  /** A message of ours was refused: another road is taken, or whoever is next is asked. False: not one of ours, or the owner has to hear. */
  readonly lost: (tx: Tx, notice: Notice, why: string, now: Instant) => Promise<boolean>;
};

/** A danger suits at any hour. */
const AT_ONCE = days(2);

/** Bookings of technicians: from the verdict to the end of the visit, both sides. */
export const createBookings = (needs: BookingsNeeds): Bookings => {
  const { store, words, ids, catalogue, parts, requests, refreshCase, free } = needs;
  const namesFor = partNamesIn(words, Object.keys(parts.values));
  const causes = new Set(catalogue.causes.map(({ id }) => id));
  const closing: Omit<Closing, 'partsFor'> = {
    isCause: (cause) => cause.split('+').every((part) => causes.has(part)),
    isPart: (part) => part.startsWith('seal-') || shimHeight(part) !== undefined || words.has(`booking.part.${part}`),
  };
  const desk = createDesk({ store, ids, refreshCase });
  const handing = createHanding({
    catalogue, recordOf: needs.recordOf ?? machineRecord, placeOfCafe: spotOf, photosOf: photoFacts,
    sizesOf: async (tx, machine, group, now) =>
      sizesToBring(parts, machine && group !== null && needs.sizesOf ? await needs.sizesOf(tx, machine, group, now) : [], machine ? (readMachineFacts(machine.facts).seal ?? null) : null),
    bringFor: (likely, sizes) => bringFor(parts, likely, sizes),
  });
  const draw = createDraw({
    store, words, handing, isCause: closing.isCause, isPart: closing.isPart, deskOf: deskFor,
    closing: (show, row, view) => closingMessage(show, row, view, { mustStayOff: view.handed.machine?.state === 'must stay off', groupOut: view.handed.groupOut, currency: view.handed.cafe.currency, report: readReport(row.report) }, { ...closing, partsFor: (cause) => partsFor(parts, cause, view.handed.sizes) }),
  });
  const pressing = createPressing({ store, words, desk, draw });
  const records = closedFor({ onFitted: async (tx, fitted, now) => {
      await writeFitted(ids)(tx, fitted, now);
      await takeFromStock(closing.isPart)(tx, fitted);
      await needs.onFitted?.(tx, fitted, now);
    }, onFinding: needs.onFinding ?? (async () => undefined) });
  const service = createService({ store, ids, desk, showFor: draw.showFor });
  const closed = async (tx: Tx, row: BookingRecord, now: Instant): Promise<void> => {
    await records(tx, row, now);
    await service.finished(tx, row, now);
  };
  const wish = createWish({ store, words, ids, desk, showFor: draw.showFor, worksOf: worksFor });
  const technicians = createTechnicians({ store, words, ids, desk });
  const closeOuts = createCloseOut({ store, ids, desk, pressing, closed, namesFor, causeNamed: causesIn(words, [...causes]), dangerIn: needs.dangerIn });
  const still = createStillWanted({ store, ids, draw });
  const askOff = createAskOff({ store, ids, draw });
  const stock = createStock({ store, words, ids, parts, namesFor });
  const day = createDay({ store, words, ids, draw, parts, requests, tools: toolsFor(technicians.buttons) });

  const urgent: Bookings['urgent'] = async (tx, danger, now) => {
    const cafe = await cafeById(tx, danger.cafe);
    if (!cafe) return undefined;
    const linked = linkedIn(await techniciansOf(tx, cafe.id));
    const known = await bookingOfDanger(tx, danger.id);
    if (known) return linked.find(({ id }) => id === known.technician)?.name;
    const aCase = danger.case_id === null ? undefined : await caseById(tx, danger.case_id);
    const need = await needOf(tx, await troubleOf(tx, cafe, aCase, danger), linked, () => undefined, now);
    const row = await desk.open(tx, { cafe: cafe.id, caseId: aCase?.id ?? null, dangerId: danger.id, machine: danger.machine, about: 'danger', need, suits: [{ start: now, end: later(now, AT_ONCE) }], by: { id: danger.by_person, name: danger.by_name } }, now);
    return linked.find(({ id }) => id === row.technician)?.name;
  };

  const presses: readonly PressRoute[] = [
    ...wish.presses, ...createArrange({ store, pressing, askOff: askOff.ask }), ...createUnderWay({ ids, pressing }), ...closeOuts.presses, ...createCloseMore({ store, pressing, closeOuts, closed, nextVisit: service.nextVisit, leadRange: needs.leadRange }), ...createFreeing({ ids, pressing, free, groupBack: needs.groupBack }),
    ...createDetails({ store, files: needs.files, draw, pressing }), ...createPhotos({ ids, store, pressing }), ...technicians.presses, ...createOrder({ store, words, ids }), ...service.presses, ...day.presses, ...stock.presses,
  ];

  return {
    urgent,
    dangerMoved: async (tx, danger, now) => {
      const row = await bookingOfDanger(tx, danger);
      if (row) await refresh({ tx, now, row });
    },
    fixed: still.fixed,
    askFor: (pressed, caseId) => wish.ask({ ...pressed, press: press('booking.ask', caseId) }),
    lost: createLost({ ids, desk, wishLost: wish.lost }),
    presses,
    words: [...day.words, ...technicians.words, ...stock.words, ...createSaid({ store, words, desk }), ...createTyped({ store, words, namesFor, presses: () => presses })],
    dialogues: [closeOuts.dialogue],
    commands: day.commands,
    notices: [...draw.notices, ...still.notices, ...askOff.notices, ...wish.notices, ...technicians.notices, ...service.notices],
    timers: [
      closeOuts.timer, ...wish.timers, ...service.timers,
      {
        kind: CLOCK,
        fire: async (tx, { ref }, now) => {
          const row = await bookingById(tx, ref);
          if (row) await desk.applyIn(tx, row, { kind: 'time passed' }, now);
        },
      },
    ],
  };
};
