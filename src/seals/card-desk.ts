import { calendarOf } from '../cafe/calendar.ts';
import { cafeById, groupsOf, machineById, machinesOf, ownersOf, rolesIn, techniciansOf, type Cafe, type Machine, type Member } from '../cafe/records.ts';
import type { Pressed } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import type { Message } from '../chat/message.ts';
import type { Person, PersonId, PlaceId } from '../chat/who.ts';
import type { Lexicon } from '../routine/lexicons.ts';
import type { Ids } from '../store/id.ts';
import type { Store, Tx } from '../store/store.ts';
import { hours, instant, type Instant } from '../time/instant.ts';
import type { Words } from '../words/catalogue.ts';
import { stuckAt, type Complaints } from './card-complaints.ts';
import { heatMinutes, smaller } from './card-fit.ts';
import { gateOf, keepAway, type Gate, type Going, type Hands, type Situation } from './card-gate.ts';
import { apartRuns, cardFactsOf, doerOf, figuresOf, openRuns, progressOf, shownFor, type CardRun, type CardShown, type Who } from './card-records.ts';
import type { CardView, Place, Show } from './card-lines.ts';
import { waitUntil } from './card-views.ts';
import type { AgainWhen, Card } from './cards-config.ts';
import type { CardBook } from './cards-read.ts';
import { asked, shapeOf, type CardResult } from './job-card.ts';
import { closesIn, recordOf } from './records.ts';

/** What a card came to: at its end, or when its check was asked again. */
export type CardFinished = {
  readonly cardRun: string;
  /** The job it was opened for, as the catalogue of faults names it, and the card that was used. */
  readonly job: string;
  readonly card: string;
  readonly cafe: string;
  readonly machine: string;
  readonly group: number | null;
  readonly caseId: string | null;
  readonly result: CardResult;
  readonly answer: string | null;
  readonly when: 'end' | AgainWhen;
  readonly place: PlaceId;
  readonly by: Who;
  readonly now: Instant;
};

/** Somebody stopped at a step: a danger, or something to ask about. */
export type CardWrong = Omit<CardFinished, 'result' | 'answer' | 'when' | 'by'> & { readonly danger: boolean; readonly step: number; readonly by: Person; /** It was done to its end, and its check failed. */ readonly failed: boolean; /** The card as people read it. */ readonly head: string;
  /** What it may be here, the likeliest first, and how the machine stands. */
  readonly complaints: readonly string[]; readonly state: 'hot' | 'cold' | null };

/** What a card came to that is a technician's: a part that will not come out, or a check that only they can answer. */
export type CardForTechnician = Pick<CardFinished, 'cafe' | 'machine' | 'group' | 'place' | 'card'> & {
  /** Stuck half-way; else the last check's answer. */
  readonly stuck: boolean;
  readonly answer: string | null;
  /** The complaint it would be. */
  readonly like: string;
  /** What the technician reads. */
  readonly text: string;
  readonly by: Person;
};

export type CardsNeeds = {
  readonly store: Store;
  readonly words: Words;
  readonly ids: Ids;
  readonly book: CardBook;
  readonly lexicons: ReadonlyMap<string, Lexicon>;
  readonly finished: (tx: Tx, told: CardFinished) => Promise<void>;
  /** The case whose questions were posted; null lets the card say how to ask. */
  readonly wrong: (tx: Tx, told: CardWrong) => Promise<string | null>;
  readonly complaints: Complaints;
  /** Opens a case a technician can be booked for; returns its id. */
  readonly forTechnician: (tx: Tx, told: CardForTechnician, now: Instant) => Promise<string>;
  /** Asks when a technician suits, for a case. */
  readonly askBooking: (pressed: Pressed, caseId: string) => Promise<Answer>;
  /** Which danger is it: shown to whoever pressed Danger, after the first orders. */
  readonly whichDanger?: (locale: string) => Message;
};

/** What a card is to be opened for. */
export type CardRef = { readonly cafe: string; readonly machine: string; readonly job: string; readonly group: number | null; readonly caseId: string | null };

/** What stands between someone and a card, with all that the answer to it names. */
export type Looked = {
  readonly cafe: Cafe;
  readonly machine: Machine;
  readonly card: Card;
  readonly gate: Gate;
  readonly ref: CardRef;
  readonly groups: number;
  readonly instead: Card | undefined;
  readonly shown: readonly CardShown[];
  readonly owners: readonly string[];
  readonly isOwner: boolean;
  readonly hands: Hands;
};

/** Everything about a machine and somebody standing at it that decides on cards, read at once. */
export type Room = {
  readonly cafe: Cafe;
  readonly machine: Machine;
  readonly owners: readonly Member[];
  readonly groups: number;
  readonly marks: readonly CardShown[];
  readonly going: readonly Going[];
  readonly phone: boolean;
};

export type Desk = {
  readonly needs: CardsNeeds;
  readonly show: (cafe: Pick<Cafe, 'language' | 'zone'>, locale?: string) => Show;
  readonly enter: (tx: Tx, cafe: string, machine: string, person: Person) => Promise<Room | undefined>;
  /** `chosen` on a shared account: the mark of the name that was chosen, or `said`. */
  readonly look: (room: Room, ref: CardRef, person: Person, now: Instant, chosen?: string) => Looked | undefined;
  readonly placeOf: (tx: Tx, cafe: Cafe, machine: Machine, group?: number | null) => Promise<Place>;
  readonly viewOf: (tx: Tx, run: CardRun, now: Instant) => Promise<{ readonly cafe: Cafe; readonly view: CardView } | undefined>;
  /** The card of a run; undefined when it was rewritten meanwhile. */
  readonly cardOf: (run: CardRun) => Card | undefined;
  readonly isPhone: (tx: Tx, cafe: Cafe, person: Person) => Promise<boolean>;
};

/** After so long a card nobody goes on with is over, unless the machine is in pieces. */
export const LAPSES = hours(12);

export const runKey = (run: string): string => `card.${run}`;

const goingOf = (book: CardBook, runs: readonly CardRun[]): readonly Going[] =>
  runs.map((run) => ({ run: run.id, job: run.job, group: run.group_number, by: run.doer_name, since: instant(run.started_at), apart: run.apart === 1, onGrinder: book.cards.get(run.job)?.for === 'grinder', over: run.state === 'ended' }));

/** The card for a job on this machine; any of its family while it is not known how the screen is held. */
export const cardFor = (book: CardBook, job: string, machine: Machine): Card | undefined => {
  const own = book.cards.get(job);
  if (own) return own;
  const family = [...book.cards.values()].filter((card) => card.family !== undefined && card.family === book.choices.get(job));
  const facts = cardFactsOf(machine);
  return family.find((card) => card.needs.every((fact) => facts[fact] === 'yes')) ?? family.find((card) => card.needs.every((fact) => facts[fact] !== 'no'));
};

/** What all conversations about cards read from the store. */
export const createDesk = (needs: CardsNeeds): Desk => {
  const { words, book } = needs;

  const cardOf = (run: CardRun): Card | undefined => {
    const card = book.cards.get(run.job);
    return card && shapeOf(card) === run.shape ? card : undefined;
  };

  const isPhone = async (tx: Tx, cafe: Cafe, person: Person): Promise<boolean> => (await rolesIn(tx, cafe, person)).includes('bar phone');

  const handsOf = ({ phone, marks }: Room, card: Card, person: Person, chosen: string | undefined): Hands => {
    if (!phone) {
      const own = marks.find((each) => each.job === card.job && each.person === person.id);
      return { kind: 'person', shown: own ? (own.how as 'marked' | 'said') : 'no' };
    }
    // On a shared account "I have" holds for this once; a name has to be one that was marked.
    const marked = marks.some(({ id, job, how }) => id === chosen && job === card.job && how === 'marked');
    return { kind: 'phone', chosen: marked ? 'marked' : chosen === 'said' ? 'said' : 'no' };
  };

  const goingAt = async (tx: Tx, machine: Machine): Promise<readonly CardRun[]> => {
    const open = (await openRuns(tx, machine.cafe)).filter((run) => run.machine === machine.id && book.cards.has(run.job));
    const left = (await apartRuns(tx, machine.id)).filter((run) => !open.some(({ id }) => id === run.id));
    return [...open, ...left];
  };

  const enter: Desk['enter'] = async (tx, cafeId, machineId, person) => {
    const cafe = await cafeById(tx, cafeId);
    const machine = await machineById(tx, machineId);
    if (!cafe || machine?.cafe !== cafe.id) return undefined;
    const owners = await ownersOf(tx, cafe.id);
    return {
      cafe, machine, owners,
      groups: (await groupsOf(tx, machine.id)).length || machine.groups,
      marks: await shownFor(tx, cafe.id),
      going: goingOf(book, await goingAt(tx, machine)),
      phone: await isPhone(tx, cafe, person),
    };
  };

  const look: Desk['look'] = (room, ref, person, now, chosen) => {
    const { cafe, machine, groups, marks, owners } = room;
    const card = cardFor(book, ref.job, machine);
    if (!card) return undefined;
    const group = card.for !== 'group' ? null : (ref.group ?? (groups === 1 ? 1 : null));
    const hands = handsOf(room, card, person, chosen);
    const figures = figuresOf(cafe, machine);
    const calendar = calendarOf(cafe);
    const situation: Situation = { facts: cardFactsOf(machine), mustStayOff: machine.state === 'must stay off', keepAway: keepAway(machine), hours: calendar, now, figures, groups, group, going: room.going, hands };
    return {
      cafe, machine, card, groups, hands,
      shown: marks.filter(({ job }) => job === card.job),
      gate: gateOf(card, situation),
      ref: { ...ref, group },
      instead: smaller(book, card, calendar, now, figures),
      owners: owners.map(({ name }) => name),
      isOwner: !room.phone && owners.some((owner) => owner.person === person.id),
    };
  };

  const placeOf: Desk['placeOf'] = async (tx, cafe, machine, group = null) => {
    const closes = group === null ? undefined : closesIn(await recordOf(tx, machine.id), group);
    const facts = cardFactsOf(machine);
    const figures = figuresOf(cafe, machine);
    const [technician] = await techniciansOf(tx, cafe.id);
    return {
      switchOff: cafe.switch_off, waterTap: cafe.water_tap, emergency: cafe.emergency, gas: facts.gas, lever: facts.lever, cool: figures.cool, heat: figures.heat,
      technician: technician ? { name: technician.name, telephone: technician.telephone } : null, ...(closes ? { closes } : {}),
    };
  };

  const viewOf: Desk['viewOf'] = async (tx, run, now) => {
    const cafe = await cafeById(tx, run.cafe);
    const machine = await machineById(tx, run.machine);
    const card = cardOf(run);
    if (!cafe || !machine || !card) return undefined;
    const progress = asked(card, progressOf(run), doerOf(run), now);
    const until = waitUntil(card, progress, heatMinutes(figuresOf(cafe, machine)));
    return { cafe, view: { run: run.id, card, group: run.group_number, progress, doer: run.doer_name, place: await placeOf(tx, cafe, machine, run.group_number), inCase: run.case_id !== null, stuck: stuckAt(needs.complaints, card, progressOf(run)) !== undefined, until } };
  };

  return {
    needs, enter, look, placeOf, viewOf, cardOf, isPhone,
    show: (cafe, locale = cafe.language) => ({ say: words.in(locale), reader: { locale: words.nearest(locale), zone: cafe.zone } }),
  };
};

/** The machine meant when none is named: the café's first. */
export const firstMachine = async (tx: Tx, cafe: string): Promise<string | undefined> => (await machinesOf(tx, cafe))[0]?.id;

export const whoIs = (person: Person): Who => ({ person: person.id as PersonId, name: person.name });
