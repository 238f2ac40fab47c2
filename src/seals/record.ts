import { readMachineFacts } from '../cafe/machine-facts.ts';
import { cafeById, machineById, type Cafe } from '../cafe/records.ts';
import { informed } from '../cafe/requests.ts';
import { mayIn } from '../cafe/rights.ts';
import { WHICH_CAFE, type CommandRoute, type Here, type Pressed, type PressRoute, type Said, type WhichCafe, type WordsRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message, type Message } from '../chat/message.ts';
import { placeId, type PlaceId } from '../chat/who.ts';
import { machineNumbers } from '../routine/machine-numbers.ts';
import { dutiesOf } from '../routine/records.ts';
import { post } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { instant, type Instant } from '../time/instant.ts';
import { driftPictureOf } from './drift-picture.ts';
import type { LookDesk } from './look-desk.ts';
import type { GroupNow } from './record-reckon.ts';
import { createSpots, type Spot } from './record-spot.ts';
import { readVerdict } from './record-verdict.ts';
import { changedMessage, drawingsMessage, groupMessage, historyLines, historyMessage, recordMessage, sealForm, type GroupView } from './record-views.ts';
import { screenMessage } from './record-screen-view.ts';
import { createRecordWords, type Asked, type Drawn } from './record-words.ts';
import { createRecordWriting } from './record-writing.ts';
import { fittingById, fittingIn, recordOf, verdictsOfGroup } from './records.ts';
import type { Stack } from './shelf.ts';

/** When the next cartridge of the water filter is planned, where the café has one. */
const cartridgeDue = async (tx: Tx, cafe: string): Promise<Instant | null> => {
  const due = (await dutiesOf(tx, cafe)).filter((duty) => duty.job === 'cartridge' && duty.active === 1).flatMap(({ next_due: at }) => (at === null ? [] : [at]));
  return due.length === 0 ? null : instant(Math.min(...due));
};

/** A seal card came to its end; `refitted`: the old one may have gone in again. */
export type SealChanged = { readonly cafe: string; readonly machine: string; readonly group: number; readonly leaked: boolean; readonly refitted?: boolean; readonly key: string; /** Where it is asked; else in the café's channel. */ readonly place?: PlaceId; /** What somebody says that went in. */ readonly size?: Stack };

/** What the question which seal went in keeps: it was leaking, the old one may be in again, another size was advised. */
type Changed = { readonly machine: string; readonly group: number; readonly leaked: boolean; readonly refitted?: boolean; readonly advised?: Stack };

/** What is fitted, since when, by whom: as it is shown, and every way to it. */
export const createRecord = (desk: LookDesk) => {
  const { store, words, ids, requests } = desk.needs;
  const { none, spotOf, groupNow } = createSpots(desk);
  const { write, same, advised, kept, old, screenIs } = createRecordWriting(desk);

  const viewOf = async (tx: Tx, now: GroupNow): Promise<GroupView> => {
    const record = await recordOf(tx, now.machine.id);
    const fitting = fittingIn(record, now.group, 'seal') ?? null;
    const seal = now.history.seals.findLast(({ outAt }) => outAt === null);
    const screen = fittingIn(record, now.group, 'screen');
    const told = (await verdictsOfGroup(tx, now.machine.id, now.group)).at(-1);
    const changeNow = told !== undefined && told.at >= (seal?.fittedAt ?? seal?.metAt ?? 0) && readVerdict(told.verdict).kind === 'change-now';
    const number = (await machineNumbers(tx, now.machine.cafe)).get(now.machine.id);
    return {
      group: now.group, ...(number === undefined ? {} : { label: `${String(now.group)} M${String(number)}` }), machine: now.machine.id, out: now.out, fitting, sizeMm: seal?.sizeMm ?? null, shimMm: seal?.shimMm ?? null, screen: screen?.fixing ?? readMachineFacts(now.machine.facts).screen ?? null, screenSince: screen?.fitted_at ?? null,
      forecast: now.forecast, fit: now.fit, next: now.next, changeNow, looks: new Set(now.history.readings.filter(({ look, at }) => look !== null && at >= (seal?.fittedAt ?? seal?.metAt ?? 0)).map(({ look }) => look)).size,
    };
  };

  const page = async (tx: Tx, cafe: Cafe, now: Instant, locale?: string): Promise<Message> => {
    const groups = [];
    for (const each of await desk.reckoner.groupsNow(tx, cafe, now)) groups.push(await viewOf(tx, each));
    return recordMessage(desk.show(cafe, locale), { cafe: cafe.id, name: cafe.name, now, groups, cartridgeDue: await cartridgeDue(tx, cafe.id) });
  };

  const maySee = (here: Here, cafe: string): Promise<boolean> => read(store, (tx) => mayIn(tx, cafe, here.by, 'see'));

  const all = async (here: Here, cafeId: string): Promise<Message> => {
    if (!(await maySee(here, cafeId))) return message([words.in(here.locale)('chat.barOnly')]);
    return read(store, async (tx) => {
      const cafe = await cafeById(tx, cafeId);
      return cafe ? page(tx, cafe, here.now, here.locale) : none(here);
    });
  };

  /** Draws something of one group; reads only. */
  const draw = (pressed: Asked, work: (tx: Tx, spot: Spot, view: GroupView, now: GroupNow) => Promise<Message>): Promise<Drawn> =>
    read(store, async (tx) => {
      const spot = await spotOf(tx, pressed.press.ids);
      const now = spot && (await groupNow(tx, spot, pressed.now));
      return { kind: 'redraw', message: spot && now ? await work(tx, spot, await viewOf(tx, now), now) : none(pressed) };
    });

  const group = (pressed: Asked): Promise<Drawn> =>
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

  const screen = (pressed: Asked): Promise<Drawn> => draw(pressed, async (_tx, { cafe }, view) => screenMessage(desk.show(cafe, pressed.locale), view));

  const drawings = (pressed: Pressed): Promise<Answer> =>
    read(store, async (tx) => {
      const cafe = await cafeById(tx, pressed.press.ids[0] ?? '');
      return { kind: 'redraw', message: cafe ? drawingsMessage(desk.show(cafe, pressed.locale), cafe.id) : none(pressed) };
    });

  /** Asks, in the channel, which seal went in; inside the transaction of the card that ended. */
  const changed = async (tx: Tx, { cafe: id, machine, group: number, leaked, refitted, key, place, size }: SealChanged, now: Instant): Promise<void> => {
    const cafe = await cafeById(tx, id);
    const spot = await spotOf(tx, [machine, String(number)]);
    const next = spot && (await groupNow(tx, spot, now))?.next;
    const data: Changed = { machine, group: number, leaked, ...(refitted ? { refitted } : {}), ...(size ? { advised: size } : next && !next.same ? { advised: { sealMm: next.sealMm, shimMm: next.shimMm } } : {}) };
    const at = place ?? (cafe?.place ? placeId(cafe.place) : undefined);
    if (at) await post(tx, ids, now, { key: `seal.changed.${key}`, cafe: id, place: at, kind: 'seal.changed', data, priority: 'answer' });
  };

  const showChanged = (data: unknown): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const { machine: id, group: number, refitted, advised: other } = data as Changed;
      const spot = await spotOf(tx, [id, String(number)]);
      if (!spot) return undefined;
      const seal = fittingIn(await recordOf(tx, id), number, 'seal');
      const facts = readMachineFacts(spot.machine.facts);
      const size = seal ? seal.size_mm : (facts.seal ?? null);
      return changedMessage(desk.show(spot.cafe), [id, String(number)], number, { ...(size === null ? {} : { same: { sealMm: size, shimMm: seal?.shim_mm ?? facts.shim ?? 0 } }), ...(other ? { advised: other } : {}), refitted: refitted === true });
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

  const command: CommandRoute = { name: 'record', take: async (given) => given.cafes.length > 1 ? WHICH_CAFE : ({ kind: 'private', message: given.cafes[0] === undefined ? message([words.in(given.locale)('look.no-cafe')]) : await all(given, given.cafes[0]) }) };

  const plainWords = (text: string): string => text.toLowerCase().replace(/[^\p{L}\p{N} ]+/gu, ' ').replace(/\s+/g, ' ').trim();
  const postRecord = async (said: Said): Promise<Answer | WhichCafe | undefined> => {
    const [cafe] = said.cafes;
    if (cafe === undefined) return undefined;
    if (said.cafes.length > 1) return WHICH_CAFE;
    if (!(await maySee(said, cafe))) return { kind: 'say', message: message([words.in(said.locale)('chat.barOnly')]) };
    await transact(store, [cafe], (tx) => post(tx, ids, said.now, { key: `record.${said.event}`, cafe, place: said.at, kind: 'record', data: { cafe }, priority: 'answer' }));
    return { kind: 'noted' };
  };
  const asked: WordsRoute = {
    name: 'record.ask',
    order: 33,
    take: async (said) => {
      const phrases = [said.locale, 'en'].flatMap((locale) => words.in(locale)('record.words.ask').split(', '));
      return phrases.includes(plainWords(said.text)) ? postRecord(said) : undefined;
    },
  };

  const inWords = createRecordWords(desk, { page: postRecord, changed, screen, group });

  return {
    changed,
    presses: [
      route('record.all', async (pressed) => ({ kind: 'redraw', message: await all(pressed, pressed.press.ids[0] ?? '') }), { right: 'see', cafe: ofCafe }),
      route('record.group', group, { right: 'see' }), route('record.history', history, { right: 'see' }), route('record.drawings', drawings, { right: 'see', cafe: ofCafe }),
      route('record.new', form(false), { ack: 'form' }), route('record.correct', form(true), { ack: 'form' }), route('record.fitted', write(false)), route('record.corrected', write(true)),
      route('record.same', same), route('record.advised', advised), route('record.kept', kept), route('record.old', old, { cafe: ofFitting }), route('record.screen', screen), route('record.screen-is', screenIs),
    ] satisfies readonly PressRoute[],
    words: [asked, ...informed('record.asked', 'record', requests, postRecord), ...inWords.words],
    commands: [command],
    notices: [...inWords.notices, { kind: 'record', show: ({ data, now }: { readonly data: unknown; readonly now: Instant }) => showPage((data as { cafe: string }).cafe, now) }, { kind: 'seal.changed', show: ({ data }: { readonly data: unknown }) => showChanged(data) }],
  };
};
