import { informed, type RequestKind } from '../cafe/requests.ts';
import { mayIn } from '../cafe/rights.ts';
import { cafeById, groupsOf, machineById, machinesOf, techniciansOf } from '../cafe/records.ts';
import { WHICH_CAFE, type Here, type NoticeKind, type Pressed, type Said, type WhichCafe, type WordsRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { personId, type PlaceId } from '../chat/who.ts';
import { post } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import type { Instant } from '../time/instant.ts';
import type { LookDesk } from './look-desk.ts';
import { drawingsMessage } from './record-views.ts';
import type { Stack } from './shelf.ts';

/** The record's own answers that words lead to. */
export type RecordWays = {
  readonly page: (said: Said) => Promise<Answer | WhichCafe | undefined>;
  readonly changed: (tx: Tx, what: { readonly cafe: string; readonly machine: string; readonly group: number; readonly leaked: boolean; readonly key: string; readonly place: PlaceId; readonly size?: Stack }, now: Instant) => Promise<void>;
  readonly screen: (asked: Asked) => Promise<Drawn>;
  readonly group: (asked: Asked) => Promise<Drawn>;
};

/** Asked by a press, or by words that name a group. */
export type Asked = Here & Pick<Pressed, 'press'>;
export type Drawn = Extract<Answer, { readonly kind: 'redraw' }>;

/** A part of the record asked for in words; drawn when it is sent, since it may hold pictures. */
type View = { readonly cafe: string; readonly what: 'screen' | 'group' | 'drawings'; readonly machine: string; readonly group: number };
const VIEW = 'record.view';

/** "8.5 mm" among the words: the seal that went in. */
const sizeIn = (text: string): Stack | undefined => {
  const mm = Number(/(\d{1,2}(?:[.,]\d)?)\s*mm/iu.exec(text)?.[1]?.replace(',', '.'));
  return mm >= 3 && mm <= 12 ? { sealMm: mm, shimMm: 0 } : undefined;
};

type Spot = { readonly machine: string; readonly group: number };

/** Does one of these words stand among them? */
const isOneOf = (text: string, list: string): boolean => list.split('|').some((word) => text.toLowerCase().split(/[^\p{L}]+/u).includes(word));

/** The group named: by its number, by its side; of one group that one. Sizes in millimetres are no groups. */
export const groupIn = (text: string, groups: readonly number[], sides: { readonly left: string; readonly right: string }): number | undefined => {
  if (groups.length === 1) return groups[0];
  const plain = text.toLowerCase();
  const number = Number(/(?<![\d.,])([1-6])(?![.,]?\d|\s*mm)/u.exec(plain)?.[1]);
  if (groups.includes(number)) return number;
  const [isLeft, isRight] = [isOneOf(plain, sides.left), isOneOf(plain, sides.right)];
  if (isLeft !== isRight) return isLeft ? groups[0] : groups.at(-1);
  return undefined;
};

/** Seals and screens told of in words: what went in, what was found, which way up, what will not come out. */
export const createRecordWords = (desk: LookDesk, ways: RecordWays): { readonly words: readonly WordsRoute[]; readonly notices: readonly NoticeKind[] } => {
  const { store, words, ids, requests } = desk.needs;

  /** One machine and one of its groups; undefined where the words leave it open. */
  const spotOf = (said: Said, cafe: string): Promise<Spot | undefined> =>
    read(store, async (tx) => {
      const [machine, second] = await machinesOf(tx, cafe);
      if (!machine || second) return undefined;
      const say = words.in(said.locale);
      const group = groupIn(said.text, (await groupsOf(tx, machine.id)).map(({ number }) => number), { left: say('record.words.left'), right: say('record.words.right') });
      return group === undefined ? undefined : { machine: machine.id, group };
    });

  /** Where it is open which group, the record asks by its buttons. */
  const atGroup = (work: (said: Said, cafe: string, spot: Spot) => Promise<Answer>) => async (said: Said): Promise<Answer | WhichCafe | undefined> => {
    const [cafe] = said.cafes;
    if (cafe === undefined || said.cafes.length > 1) return ways.page(said);
    if (!(await read(store, (tx) => mayIn(tx, cafe, said.by, 'answer')))) return { kind: 'say', message: message([words.in(said.locale)('chat.barOnly')]) };
    const spot = await spotOf(said, cafe);
    return spot ? work(said, cafe, spot) : ways.page(said);
  };

  const shown = async (said: Said, view: View): Promise<Answer> => {
    await transact(store, [view.cafe], (tx) => post(tx, ids, said.now, { key: `${VIEW}.${said.event}`, cafe: view.cafe, place: said.at, kind: VIEW, data: view, priority: 'answer' }));
    return { kind: 'noted' };
  };

  const fitted = atGroup(async (said, cafe, { machine, group }) => {
    const size = sizeIn(said.text);
    // The form asks when; one press would say now.
    if (isOneOf(said.text, words.in(said.locale)('record.words.earlier'))) return shown(said, { cafe, what: 'group', machine, group });
    await transact(store, [cafe], (tx) => ways.changed(tx, { cafe, machine, group, leaked: false, key: said.event, place: said.at, ...(size ? { size } : {}) }, said.now));
    return { kind: 'noted' };
  });

  /** Forcing it breaks more than the ring: stop, and from the open card on to the technician. */
  const stuck = async (said: Said): Promise<Answer | WhichCafe | undefined> => {
    const [cafe] = said.cafes;
    if (cafe === undefined) return undefined;
    if (said.cafes.length > 1) return WHICH_CAFE;
    return read(store, async (tx): Promise<Answer> => {
      const say = words.in(said.locale);
      const run = await tx.selectFrom('card_run').select(['id', 'machine']).where('cafe', '=', cafe).where('state', '!=', 'ended').where('apart', '=', 1).orderBy('id', 'desc').limit(1).executeTakeFirst();
      if (run && (await machineById(tx, run.machine))) return { kind: 'say', message: message([say('record.stuck'), say('record.stuck.card')], [button(say('cards.button.wrong'), press('card.wrong', run.id), 'main')]) };
      const [technician] = await techniciansOf(tx, cafe);
      const call = technician === undefined ? say('cards.technician.none') : technician.telephone === null ? say('cards.technician.named', { name: technician.name }) : say('cards.technician', { name: technician.name, telephone: technician.telephone });
      return { kind: 'say', message: message([say('record.stuck'), say('record.stuck.off'), call]) };
    });
  };

  const drawings = async (said: Said): Promise<Answer | WhichCafe | undefined> => {
    const [cafe] = said.cafes;
    return cafe === undefined || said.cafes.length > 1 ? ways.page(said) : shown(said, { cafe, what: 'drawings', machine: '', group: 0 });
  };

  /** As it stands when it is sent, in the café's language. */
  const view: NoticeKind = {
    kind: VIEW,
    show: async ({ data, place, now }) => {
      const { cafe: id, what, machine, group } = data as View;
      const cafe = await read(store, (tx) => cafeById(tx, id));
      if (!cafe) return undefined;
      if (what === 'drawings') return drawingsMessage(desk.show(cafe), id);
      const asked: Asked = { event: '', by: { id: personId(''), name: '', roles: [], manages: false }, at: place, now, locale: cafe.language, press: press('record.group', machine, String(group)) };
      return (await ways[what](asked)).message;
    },
  };

  const route = (kind: RequestKind, take: (said: Said) => Promise<Answer | WhichCafe | undefined>): readonly WordsRoute[] => informed(`record.${kind}`, kind, requests, take);
  return {
    notices: [view],
    words: [
      ...route('fitted', fitted), ...route('drawings', drawings), ...route('stuck', stuck),
      ...route('screen', atGroup((said, cafe, spot) => shown(said, { cafe, what: 'screen', ...spot }))),
      ...route('shim', atGroup((said, cafe, spot) => shown(said, { cafe, what: 'group', ...spot }))),
    ],
  };
};
