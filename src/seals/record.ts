import { readMachineFacts } from '../cafe/machine-facts.ts';
import { cafeById, machineById, type Cafe, type Machine } from '../cafe/records.ts';
import { mayIn } from '../cafe/rights.ts';
import type { CommandRoute, Here, Pressed, PressRoute, WordsRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message, type Message } from '../chat/message.ts';
import { placeId } from '../chat/who.ts';
import { sealPart } from '../parts/seal-part.ts';
import { post } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { instant, type Instant } from '../time/instant.ts';
import { toDay } from '../time/local-date.ts';
import { dateAt, instantOfDay } from '../time/wall-time.ts';
import { driftPictureOf } from './drift-picture.ts';
import { fitScreen } from './fit-screen.ts';
import type { LookDesk } from './look-desk.ts';
import { readSealForm, type SealInput } from './record-input.ts';
import type { GroupNow } from './record-reckon.ts';
import { readVerdict } from './record-verdict.ts';
import {
  changedMessage, drawingsMessage, groupMessage, historyLines, historyMessage, oldOneMessage, problemMessage, recordMessage, screenMessage, sealForm, type GroupView,
} from './record-views.ts';
import { endPlan, factsFollow, fittingById, fittingIn, insertFitting, insertReading, noteCameOut, recordOf, supersedeFitting, takeOut, verdictsOfGroup, type Fitting } from './records.ts';
import { putBackOnShelf, takeFromShelf, type FittedPart } from './shelf.ts';

/** A seal card came to its end. */
export type SealChanged = { readonly cafe: string; readonly machine: string; readonly group: number; readonly leaked: boolean; readonly key: string };

type Spot = { readonly cafe: Cafe; readonly machine: Machine; readonly group: number };

const NOON = 12 * 60;

const takenFor = (row: Fitting): FittedPart => ({ id: row.id, cafe: row.cafe, part: sealPart(row.size_mm ?? 0), at: instant(row.fitted_at ?? row.at), by: { id: row.by_person, name: row.by_name } });

/** What is fitted, since when, by whom; written down, corrected and shown. */
export const createRecord = (desk: LookDesk) => {
  const { store, words, ids } = desk.needs;
  const none = (here: Here): Message => message([words.in(here.locale)('look.gone')]);

  const viewOf = async (tx: Tx, now: GroupNow): Promise<GroupView> => {
    const record = await recordOf(tx, now.machine.id);
    const fitting = fittingIn(record, now.group, 'seal') ?? null;
    const seal = now.history.seals.findLast(({ outAt }) => outAt === null);
    const screen = fittingIn(record, now.group, 'screen');
    const told = (await verdictsOfGroup(tx, now.machine.id, now.group)).at(-1);
    const changeNow = told !== undefined && told.at >= (seal?.fittedAt ?? seal?.metAt ?? 0) && readVerdict(told.verdict).kind === 'change-now';
    return {
      group: now.group, machine: now.machine.id, out: now.out, fitting, sizeMm: seal?.sizeMm ?? null, shimMm: seal?.shimMm ?? null, screen: screen?.fixing ?? readMachineFacts(now.machine.facts).screen ?? null, screenSince: screen?.fitted_at ?? null,
      forecast: now.forecast, fit: now.fit, next: now.next, changeNow, looks: new Set(now.history.readings.filter(({ look, at }) => look !== null && at >= (seal?.fittedAt ?? seal?.metAt ?? 0)).map(({ look }) => look)).size,
    };
  };

  const page = async (tx: Tx, cafe: Cafe, now: Instant, locale?: string): Promise<Message> => {
    const groups = [];
    for (const each of await desk.reckoner.groupsNow(tx, cafe, now)) groups.push(await viewOf(tx, each));
    return recordMessage(desk.show(cafe, locale), { cafe: cafe.id, name: cafe.name, now, groups });
  };

  const maySee = (here: Here, cafe: string): Promise<boolean> => read(store, (tx) => mayIn(tx, cafe, here.by, 'see'));

  const all = async (here: Here, cafeId: string): Promise<Message> => {
    if (!(await maySee(here, cafeId))) return message([words.in(here.locale)('chat.barOnly')]);
    return read(store, async (tx) => {
      const cafe = await cafeById(tx, cafeId);
      return cafe ? page(tx, cafe, here.now, here.locale) : none(here);
    });
  };

  const spotOf = async (tx: Tx, ids_: readonly string[]): Promise<Spot | undefined> => {
    const machine = await machineById(tx, ids_[0] ?? '');
    const cafe = machine && (await cafeById(tx, machine.cafe));
    const group = Number(ids_[1]);
    return machine && cafe && Number.isInteger(group) ? { cafe, machine, group } : undefined;
  };

  const groupNow = (tx: Tx, { cafe, machine, group }: Spot, now: Instant): Promise<GroupNow | undefined> => desk.reckoner.groupNow(tx, cafe, machine, group, now);

  /** Draws something of one group; reads only. */
  const draw = (pressed: Pressed, work: (tx: Tx, spot: Spot, view: GroupView, now: GroupNow) => Promise<Message>): Promise<Answer> =>
    read(store, async (tx) => {
      const spot = await spotOf(tx, pressed.press.ids);
      const now = spot && (await groupNow(tx, spot, pressed.now));
      return { kind: 'redraw', message: spot && now ? await work(tx, spot, await viewOf(tx, now), now) : none(pressed) };
    });

  const group = (pressed: Pressed): Promise<Answer> =>
    draw(pressed, async (tx, { cafe }, view, now) => {
      const show = desk.show(cafe, pressed.locale);
      const { shelf, pictures } = await desk.readyFor(tx, cafe, now, pressed.locale);
      return groupMessage(show, { ...view, shelf }, cafe.id, pressed.now, [...driftPictureOf(show, now, desk.needs.constants, pressed.now), ...pictures]);
    });

  const history = (pressed: Pressed): Promise<Answer> =>
    draw(pressed, async (tx, { cafe, machine, group: number }) => {
      const show = desk.show(cafe, pressed.locale);
      return historyMessage(show, pressed.press.ids.slice(0, 2), historyLines(show, number, await recordOf(tx, machine.id, true)), Number(pressed.press.ids[2]) || 0);
    });

  const form = (correct: boolean) => (pressed: Pressed): Promise<Answer> =>
    read(store, async (tx): Promise<Answer> => {
      const spot = await spotOf(tx, pressed.press.ids);
      const now = spot && (await groupNow(tx, spot, pressed.now));
      if (!spot || !now) return { kind: 'noted', private: none(pressed) };
      const view = await viewOf(tx, now);
      return { kind: 'form', form: sealForm(desk.show(spot.cafe, pressed.locale), pressed.press.ids.slice(0, 2), correct, view) };
    });

  const rowOf = (spot: Spot, by: Here, input: SealInput, id: string, fallback: Instant | null): Fitting => ({
    id, cafe: spot.cafe.id, machine: spot.machine.id, group_number: spot.group, part: 'seal',
    fitted_at: input.date === null ? fallback : input.date === dateAt(by.now, spot.cafe.zone) ? by.now : instantOfDay(toDay(input.date), NOON, spot.cafe.zone), met_at: by.now, out_at: null,
    size_mm: input.sizeMm, outside_mm: input.outsideMm, inside_mm: input.insideMm, profile: input.profile, material: input.material, side_up: input.sideUp, shim_mm: input.shimMm,
    fixing: null, why_out: null, came_out: null, by_person: by.by.id, by_name: by.by.name, at: by.now, superseded_by: null,
  });

  /** A new seal goes in: the one before is out from then on. Returns the id of the old line, if there was one. */
  const fitNew = async (tx: Tx, spot: Spot, rowFor: (id: string) => Fitting, now: Instant, leaked: boolean): Promise<string> => {
    const { machine, group: number } = spot;
    const before = fittingIn(await recordOf(tx, machine.id), number, 'seal');
    const old = before?.id ?? ids(now);
    const row = rowFor(ids(now));
    const at = row.fitted_at ?? row.at;
    // A seal nobody wrote down gets its line now that it is out: how it was tells of lives here.
    if (!before) await insertFitting(tx, { ...row, id: old, fitted_at: null, met_at: Math.min(machine.created_at, at), size_mm: readMachineFacts(machine.facts).seal ?? null, shim_mm: readMachineFacts(machine.facts).shim ?? null, outside_mm: null, inside_mm: null, profile: null, material: null, side_up: null });
    await desk.needs.moved(tx, spot.cafe.id, now);
    await takeOut(tx, old, at, leaked ? 'leaked' : 'due', 'not-looked');
    await insertFitting(tx, row);
    await takeFromShelf(tx, takenFor(row));
    await endPlan(tx, machine.id, number);
    await factsFollow(tx, machine, await desk.groupNumbers(tx, machine.id));
    return old;
  };

  const write = (correct: boolean) => async (pressed: Pressed): Promise<Answer> => {
    const spot = await read(store, (tx) => spotOf(tx, pressed.press.ids));
    if (!spot) return { kind: 'redraw', message: none(pressed) };
    const show = desk.show(spot.cafe, pressed.locale);
    const given = readSealForm(pressed.answers, dateAt(pressed.now, spot.cafe.zone), pressed.locale);
    if (!given.ok) return { kind: 'redraw', message: problemMessage(show, pressed.press.ids.slice(0, 2), given.problem, correct) };
    const stack = { sealMm: given.input.sizeMm, shimMm: given.input.shimMm };
    return transact(store, [spot.cafe.id], async (tx): Promise<Answer> => {
      if (!correct) {
        const old = await fitNew(tx, spot, (id) => rowOf(spot, pressed, given.input, id, pressed.now), pressed.now, false);
        return { kind: 'redraw', message: oldOneMessage(show, spot.group, stack, old, spot.machine.id) };
      }
      const id = ids(pressed.now);
      const before = fittingIn(await recordOf(tx, spot.machine.id), spot.group, 'seal');
      const row = rowOf(spot, pressed, given.input, id, null);
      await insertFitting(tx, { ...row, met_at: before?.met_at ?? spot.machine.created_at });
      if (before) {
        await supersedeFitting(tx, before.id, id);
        await putBackOnShelf(tx, { ...takenFor(before), at: pressed.now });
        // Only what was written down as going in was ever taken from the shelf.
        if (before.fitted_at !== null) await takeFromShelf(tx, takenFor(row));
      }
      await factsFollow(tx, spot.machine, await desk.groupNumbers(tx, spot.machine.id));
      return { kind: 'redraw', message: oldOneMessage(show, spot.group, stack, null, spot.machine.id) };
    });
  };

  /** The card is done and the same size went in: one press writes it down. */
  const same = async (pressed: Pressed): Promise<Answer> => {
    const spot = await read(store, (tx) => spotOf(tx, pressed.press.ids));
    if (!spot) return { kind: 'redraw', message: none(pressed) };
    return transact(store, [spot.cafe.id], async (tx): Promise<Answer> => {
      const now = await groupNow(tx, spot, pressed.now);
      const seal = now?.history.seals.findLast(({ outAt }) => outAt === null);
      const before = fittingIn(await recordOf(tx, spot.machine.id), spot.group, 'seal');
      if (!now || seal?.sizeMm == null) return { kind: 'redraw', message: none(pressed) };
      const input: SealInput = { sizeMm: seal.sizeMm, shimMm: seal.shimMm ?? 0, date: null, outsideMm: before?.outside_mm ?? null, insideMm: before?.inside_mm ?? null, profile: before?.profile ?? null, material: seal.material, sideUp: before?.side_up === 'up' || before?.side_up === 'down' ? before.side_up : null };
      const leaked = (pressed.shown?.data as { leaked?: boolean } | undefined)?.leaked === true;
      const old = await fitNew(tx, spot, (id) => rowOf(spot, pressed, input, id, pressed.now), pressed.now, leaked);
      return { kind: 'redraw', message: oldOneMessage(desk.show(spot.cafe, pressed.locale), spot.group, { sealMm: seal.sizeMm, shimMm: seal.shimMm ?? 0 }, old, spot.machine.id) };
    });
  };

  const old = async (pressed: Pressed): Promise<Answer> => {
    const [id = '', word = ''] = pressed.press.ids;
    const row = await read(store, (tx) => fittingById(tx, id));
    if (!row || !['sound', 'bad', 'not-looked'].includes(word)) return { kind: 'redraw', message: none(pressed) };
    await transact(store, [row.cafe], (tx) => noteCameOut(tx, id, word));
    return { kind: 'redraw', message: message([words.in(pressed.locale)('record.old.noted')]) };
  };

  const screen = (pressed: Pressed): Promise<Answer> => draw(pressed, async (_tx, { cafe }, view) => screenMessage(desk.show(cafe, pressed.locale), view));

  const screenIs = async (pressed: Pressed): Promise<Answer> => {
    const word = pressed.press.ids[2] ?? '';
    const spot = await read(store, (tx) => spotOf(tx, pressed.press.ids));
    if (!spot || !['new', 'blocked', 'dented', 'turning'].includes(word)) return { kind: 'redraw', message: none(pressed) };
    await transact(store, [spot.cafe.id], async (tx) => {
      const id = ids(pressed.now);
      if (word === 'new') return fitScreen(tx, id, spot.machine, spot.group, { person: pressed.by.id, name: pressed.by.name }, pressed.now);
      const by = { by_person: pressed.by.id, by_name: pressed.by.name, at: pressed.now, superseded_by: null };
      await insertReading(tx, { id, cafe: spot.cafe.id, machine: spot.machine.id, group_number: spot.group, ...by, look: null, what: 'screen', value: word, machine_state: 'cold' });
    });
    return { kind: 'redraw', message: message([words.in(pressed.locale)('record.screen.noted', { group: spot.group })]) };
  };

  const drawings = (pressed: Pressed): Promise<Answer> =>
    read(store, async (tx) => {
      const cafe = await cafeById(tx, pressed.press.ids[0] ?? '');
      return { kind: 'redraw', message: cafe ? drawingsMessage(desk.show(cafe, pressed.locale), cafe.id) : none(pressed) };
    });

  /** Asks, in the channel, which seal went in; inside the transaction of the card that ended. */
  const changed = async (tx: Tx, { cafe: id, machine, group: number, leaked, key }: SealChanged, now: Instant): Promise<void> => {
    const cafe = await cafeById(tx, id);
    if (cafe?.place) await post(tx, ids, now, { key: `seal.changed.${key}`, cafe: id, place: placeId(cafe.place), kind: 'seal.changed', data: { machine, group: number, leaked }, priority: 'answer' });
  };

  const showChanged = (data: unknown): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const { machine: id, group: number } = data as { machine: string; group: number };
      const spot = await spotOf(tx, [id, String(number)]);
      if (!spot) return undefined;
      const seal = fittingIn(await recordOf(tx, id), number, 'seal');
      const facts = readMachineFacts(spot.machine.facts);
      const size = seal ? seal.size_mm : (facts.seal ?? null);
      return changedMessage(desk.show(spot.cafe), [id, String(number)], number, size === null ? undefined : { sealMm: size, shimMm: seal?.shim_mm ?? facts.shim ?? 0 });
    });

  const showPage = (id: string, now: Instant): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const cafe = await cafeById(tx, id);
      return cafe && page(tx, cafe, now);
    });

  const ofMachine: NonNullable<PressRoute['cafe']> = async (tx, given) => (await machineById(tx, given.ids[0] ?? ''))?.cafe;
  const ofCafe: NonNullable<PressRoute['cafe']> = async (tx, given) => (await cafeById(tx, given.ids[0] ?? ''))?.id;
  const ofFitting: NonNullable<PressRoute['cafe']> = async (tx, given) => (await fittingById(tx, given.ids[0] ?? ''))?.cafe;
  const route = (kind: string, take: PressRoute['take'], more: Partial<PressRoute> = {}): PressRoute => ({ kind, ack: 'update', right: 'answer', cafe: ofMachine, take, ...more });

  const command: CommandRoute = { name: 'record', take: async (given) => ({ kind: 'private', message: given.cafes[0] === undefined ? message([words.in(given.locale)('look.no-cafe')]) : await all(given, given.cafes[0]) }) };

  const plainWords = (text: string): string => text.toLowerCase().replace(/[^\p{L}\p{N} ]+/gu, ' ').replace(/\s+/g, ' ').trim();
  const asked: WordsRoute = {
    name: 'record.ask',
    order: 33,
    take: async (said) => {
      const [cafe] = said.cafes;
      const phrases = [said.locale, 'en'].flatMap((locale) => words.in(locale)('record.words.ask').split(', '));
      if (cafe === undefined || !phrases.includes(plainWords(said.text))) return undefined;
      if (!(await maySee(said, cafe))) return { kind: 'say', message: message([words.in(said.locale)('chat.barOnly')]) };
      await transact(store, [cafe], (tx) => post(tx, ids, said.now, { key: `record.${said.event}`, cafe, place: said.at, kind: 'record', data: { cafe }, priority: 'answer' }));
      return { kind: 'noted' };
    },
  };

  return {
    changed,
    presses: [
      route('record.all', async (pressed) => ({ kind: 'redraw', message: await all(pressed, pressed.press.ids[0] ?? '') }), { right: 'see', cafe: ofCafe }),
      route('record.group', group, { right: 'see' }), route('record.history', history, { right: 'see' }), route('record.drawings', drawings, { right: 'see', cafe: ofCafe }),
      route('record.new', form(false), { ack: 'form' }), route('record.correct', form(true), { ack: 'form' }), route('record.fitted', write(false)), route('record.corrected', write(true)),
      route('record.same', same), route('record.old', old, { cafe: ofFitting }), route('record.screen', screen), route('record.screen-is', screenIs),
    ] satisfies readonly PressRoute[],
    words: [asked],
    commands: [command],
    notices: [{ kind: 'record', show: ({ data, now }: { readonly data: unknown; readonly now: Instant }) => showPage((data as { cafe: string }).cafe, now) }, { kind: 'seal.changed', show: ({ data }: { readonly data: unknown }) => showChanged(data) }],
  };
};
