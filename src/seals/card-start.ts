import { cafeById, machineById } from '../cafe/records.ts';
import { mayIn } from '../cafe/rights.ts';
import type { NoticeKind, Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message } from '../chat/message.ts';
import type { Press } from '../chat/press.ts';
import { personId, type Person, type PlaceId } from '../chat/who.ts';
import { post } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { setTimer } from '../store/timers.ts';
import { read, transact } from '../store/transact.ts';
import { later, type Instant } from '../time/instant.ts';
import { loudAt } from './card-fit.ts';
import type { Gate } from './card-gate.ts';
import { gateMessage } from './card-gate-views.ts';
import { cardFor, firstMachine, LAPSES, runKey, whoIs, type CardRef, type Desk, type Looked } from './card-desk.ts';
import { figuresOf, insertRun, noteShown, progressColumns, setScreen, shownById, type Who } from './card-records.ts';
import { begin, shapeOf, takesApart, usesDetergent } from './job-card.ts';

export type CardStart = {
  readonly cafe: string;
  readonly machine: string;
  readonly group?: number | null;
  readonly job: string;
  readonly place: PlaceId;
  readonly by: Person;
  readonly caseId?: string | null;
};

/** A job with what stands in its way now; `open` where nothing does. */
export type CardOffer = { readonly job: string; readonly minutes: number; readonly gate: Gate };

export type Starting = {
  readonly start: (tx: Tx, what: CardStart & { readonly now: Instant }) => Promise<string>;
  readonly offers: (tx: Tx, cafe: string, person: Person, now: Instant) => Promise<readonly CardOffer[]>;
  readonly presses: readonly PressRoute[];
  readonly notices: readonly NoticeKind[];
};

type GateNotice = { readonly ref: CardRef; readonly by: { readonly id: string; readonly name: string; readonly roles: readonly string[] } };

const asPerson = ({ id, name, roles }: GateNotice['by']): Person => ({ id: personId(id), name, roles, manages: false });

/** The ids of a press that opens a card, `machine` left out where the café has one. */
const refOf = async (tx: Tx, { ids: [cafe = '', job = '', group = '-', caseId = '-', machine] }: Press): Promise<CardRef | undefined> => {
  const which = machine ?? (await firstMachine(tx, cafe));
  return which === undefined ? undefined : { cafe, machine: which, job, group: /^\d$/.test(group) ? Number(group) : null, caseId: caseId === '-' ? null : caseId };
};

/** Beginning a card: what is in the way is told, and nothing is begun until nothing is. */
export const createStarting = (desk: Desk): Starting => {
  const { store, words, ids, book } = desk.needs;

  const insert = async (tx: Tx, looked: Looked, opens: Instant | null, by: Person, doer: Who, place: PlaceId, now: Instant): Promise<string> => {
    const { ref, card, cafe, machine } = looked;
    const id = ids(now);
    await insertRun(tx, {
      id, cafe: ref.cafe, machine: ref.machine, group_number: ref.group, job: card.job, for_job: ref.job, case_id: ref.caseId, place, by_person: by.id, by_name: by.name,
      doer_person: doer.person, doer_name: doer.name, ...progressColumns(begin(card, now)), shape: shapeOf(card), started_at: now, ended_at: null,
    });
    await post(tx, ids, now, { key: runKey(id), cafe: ref.cafe, place, kind: 'card', data: { run: id }, priority: 'answer' });
    const loud = takesApart(card) || usesDetergent(card) ? loudAt(card, opens, now, figuresOf(cafe, machine)) : null;
    await setTimer(tx, ids, now, { key: `card.open.${id}`, cafe: ref.cafe, kind: 'card.open', ref: id, at: loud ?? later(now, LAPSES) });
    return runKey(id);
  };

  const doerFor = async (tx: Tx, by: Person, chosen: string | undefined): Promise<Who> => {
    const row = chosen === undefined || chosen === 'said' ? undefined : await shownById(tx, chosen);
    return row ? { person: by.id, name: row.name } : whoIs(by);
  };

  const lookAt = async (tx: Tx, ref: CardRef, by: Person, now: Instant, chosen?: string): Promise<Looked | undefined> => {
    const room = await desk.enter(tx, ref.cafe, ref.machine, by);
    return room && desk.look(room, ref, by, now, chosen);
  };

  /** Looks again inside the writing transaction and begins the card only where the way is free. */
  const tryStart = async (ref: CardRef, by: Person, place: PlaceId, now: Instant, chosen?: string, before?: (tx: Tx) => Promise<void>): Promise<Looked | 'begun' | undefined> =>
    transact(store, [ref.cafe], async (tx) => {
      await before?.(tx);
      const looked = await lookAt(tx, ref, by, now, chosen);
      if (looked?.gate.kind !== 'open') return looked;
      await insert(tx, looked, looked.gate.opens, by, await doerFor(tx, by, chosen), place, now);
      return 'begun';
    });

  /** Messages of which nothing is left once the card is begun: what only the presser saw, and what was in the way. */
  const isSpent = ({ shown }: Pressed): boolean => shown === undefined || shown.kind === 'card.gate';

  const answerTo = (pressed: Pressed, result: Looked | 'begun' | undefined): Answer => {
    const say = words.in(pressed.locale);
    if (result === 'begun') return isSpent(pressed) ? { kind: 'redraw', message: message([say('cards.begun')]) } : { kind: 'noted' };
    const told = result ? gateMessage(desk.show(result.cafe, pressed.locale), result) : message([say('cards.none')]);
    return pressed.shown === undefined ? { kind: 'redraw', message: told } : { kind: 'noted', private: told };
  };

  const press = async (pressed: Pressed, chosen?: (ids: readonly string[]) => string, before?: (tx: Tx, ref: CardRef) => Promise<CardRef>): Promise<Answer> => {
    const ref = await read(store, (tx) => refOf(tx, pressed.press));
    if (!ref) return answerTo(pressed, undefined);
    const meant = before ? await transact(store, [ref.cafe], (tx) => before(tx, ref)) : ref;
    return answerTo(pressed, await tryStart(meant, pressed.by, pressed.at, pressed.now, chosen?.(pressed.press.ids)));
  };

  /** "I have": believed once, and not asked again of someone with an account of their own. */
  const pressHave = (pressed: Pressed): Promise<Answer> =>
    press(pressed, () => 'said', async (tx, ref) => {
      const looked = await lookAt(tx, ref, pressed.by, pressed.now);
      if (looked?.card.training === 'asked' && looked.hands.kind === 'person')
        await noteShown(tx, ids, pressed.now, { cafe: ref.cafe, job: looked.card.job, person: pressed.by.id, name: pressed.by.name, how: 'said', marked_by: pressed.by.id, marked_name: pressed.by.name });
      return ref;
    });

  const pressMarkMe = (pressed: Pressed): Promise<Answer> =>
    press(pressed, undefined, async (tx, ref) => {
      const looked = await lookAt(tx, ref, pressed.by, pressed.now);
      if (looked?.isOwner)
        await noteShown(tx, ids, pressed.now, { cafe: ref.cafe, job: looked.card.job, person: pressed.by.id, name: pressed.by.name, how: 'marked', marked_by: pressed.by.id, marked_name: pressed.by.name });
      return ref;
    });

  const pressScreen = async (pressed: Pressed): Promise<Answer> => {
    const kind = pressed.press.ids[5];
    if (kind !== 'screw' && kind !== 'seal' && kind !== 'block') return { kind: 'noted', private: message([words.in(pressed.locale)('cards.gate.screen.unknown')]) };
    return press(pressed, undefined, async (tx, ref) => {
      const machine = await machineById(tx, ref.machine);
      if (machine?.cafe !== ref.cafe) return ref;
      await setScreen(tx, machine, kind);
      const now = await machineById(tx, ref.machine);
      const family = book.cards.get(ref.job)?.family;
      // The card opened may be the one for another kind of screen: its family has the one that fits.
      const choice = [...book.choices].find(([, each]) => each === family)?.[0];
      const fitting = now && choice !== undefined ? cardFor(book, choice, now) : undefined;
      return fitting ? { ...ref, job: book.choices.has(ref.job) ? ref.job : fitting.job } : ref;
    });
  };

  const offers: Starting['offers'] = async (tx, cafeId, person, now) => {
    const machine = await firstMachine(tx, cafeId);
    const room = machine === undefined ? undefined : await desk.enter(tx, cafeId, machine, person);
    if (!room) return [];
    return [...book.cards.keys(), ...book.choices.keys()].flatMap((job) => {
      const looked = desk.look(room, { cafe: cafeId, machine: room.machine.id, job, group: 1, caseId: null }, person, now);
      return looked ? [{ job, minutes: looked.card.minutes + looked.card.soak, gate: looked.gate }] : [];
    });
  };

  const start: Starting['start'] = async (tx, { cafe, machine, group, job, place, by, caseId, now }) => {
    const ref: CardRef = { cafe, machine, job, group: group ?? null, caseId: caseId ?? null };
    const looked = await lookAt(tx, ref, by, now);
    if (looked?.gate.kind === 'open') return insert(tx, looked, looked.gate.opens, by, whoIs(by), place, now);
    const key = `card.gate.${ids(now)}`;
    const data: GateNotice = { ref, by: { id: by.id, name: by.name, roles: by.roles } };
    await post(tx, ids, now, { key, cafe, place, kind: 'card.gate', data, priority: 'answer', notAfter: later(now, LAPSES) });
    return key;
  };

  const showGate = (data: unknown, now: Instant) =>
    read(store, async (tx) => {
      const { ref, by } = data as GateNotice;
      const looked = await lookAt(tx, ref, asPerson(by), now);
      return looked && gateMessage(desk.show(looked.cafe), looked);
    });

  const cafe = async (tx: Tx, given: Press): Promise<string | undefined> => (await cafeById(tx, given.ids[0] ?? ''))?.id;
  const route = (kind: string, take: PressRoute['take']): PressRoute => ({ kind, ack: 'update', right: 'answer', cafe, take });

  return {
    start,
    offers,
    presses: [
      route('card.start', (pressed) => press(pressed)),
      route('card.have', pressHave),
      route('card.who', (pressed) => press(pressed, (given) => given[5] ?? '')),
      route('card.mark-me', pressMarkMe),
      route('card.screen', pressScreen),
    ],
    notices: [{ kind: 'card.gate', show: ({ data, now }) => showGate(data, now) }],
  };
};

/** May this person do cards here at all? */
export const mayDo = (tx: Tx, cafe: string, person: Person): Promise<boolean> => mayIn(tx, cafe, person, 'answer');
