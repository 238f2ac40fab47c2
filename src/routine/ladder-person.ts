import { cafeById, membersOf, type Cafe, type Member } from '../cafe/records.ts';
import type { Here, NoticeKind, Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { placeId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import { post, redraw } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { inLines, shortened } from '../words/format.ts';
import type { Say } from '../words/catalogue.ts';
import type { DoneNeeds } from './list-desk.ts';

const HEARS = 'routine.hears';
type Asked = { readonly member: string; readonly owner: string };

/** May this person be written to directly? */
export const agreed = ({ direct_ok: ok }: Member): boolean => ok === 1;

export const asHearing = async (tx: Tx, { id }: Member, yes: boolean): Promise<void> => {
  await tx.updateTable('member').set({ direct_ok: yes ? 1 : 0 }).where('id', '=', id).execute();
};

/** Asked where everybody is, since nobody is written to before they have said yes. */
export const askToHear = async (tx: Tx, ids: Ids, cafe: Cafe, member: Member, { by, now }: Here): Promise<void> => {
  if (cafe.place !== null) await post(tx, ids, now, { key: `${HEARS}.${member.id}.${ids(now)}`, cafe: cafe.id, place: placeId(cafe.place), kind: HEARS, data: { member: member.id, owner: by.name } satisfies Asked, priority: 'other', silent: true });
};

const view = (say: Say, cafe: Cafe, member: Member, named: boolean, owner: string): Message => {
  const name = shortened(member.name, 20);
  if (!named || agreed(member)) return message([say(named ? 'routine.hears.yes' : 'routine.hears.no', { name })]);
  const to = (what: string): ReturnType<typeof button> => button(say(`routine.hears.button.${what}`), press(HEARS, cafe.id, member.id, what));
  return message([...inLines(say('routine.hears.ask', { name })), ...inLines(say('routine.hears.why', { owner: shortened(owner, 20) }))], [to('yes'), to('no')]);
};

/** The yes or no of whom the owner named; it is theirs alone, and can be taken back from every message they get. */
export const hearing = ({ store, words }: Pick<DoneNeeds, 'store' | 'words'>, takeOut: (tx: Tx, cafe: Cafe) => Promise<void>): { readonly press: PressRoute; readonly notice: NoticeKind } => {
  const found = async (tx: Tx, cafeId: string | null | undefined, member: string): Promise<{ readonly cafe: Cafe; readonly member: Member; readonly named: boolean } | undefined> => {
    const cafe = await cafeById(tx, cafeId ?? '');
    const row = cafe && (await membersOf(tx, cafe.id)).find(({ id }) => id === member);
    return cafe && row && { cafe, member: row, named: (cafe.ladder ?? '').includes(`"${member}"`) };
  };

  const take = async (pressed: Pressed): Promise<Answer> => {
    const [cafeId = '', id = '', what] = pressed.press.ids;
    const say = words.in(pressed.locale);
    return transact(store, [cafeId], async (tx): Promise<Answer> => {
      const here = await found(tx, cafeId, id);
      if (!here) return { kind: 'redraw', message: message([say('chat.tooOld')]) };
      if (here.member.person !== pressed.by.id) return { kind: 'noted', private: message([say('routine.hears.other', { name: shortened(here.member.name, 20) })]) };
      const yes = what === 'yes' && here.named;
      // What owners hear besides is not said no to with this.
      if (yes || here.member.role !== 'owner') await asHearing(tx, here.member, yes);
      if (!yes && here.named) await takeOut(tx, here.cafe);
      const shown = view(say, here.cafe, { ...here.member, direct_ok: 1 }, yes, '');
      const key = pressed.shown?.kind === HEARS ? pressed.shown.key : undefined;
      const version = key === undefined ? undefined : await redraw(tx, key, pressed.now, true);
      return { kind: 'redraw', message: shown, ...(key !== undefined && version !== undefined ? { shows: { key, version } } : {}) };
    });
  };

  return {
    press: { kind: HEARS, ack: 'update', right: 'anyone', take },
    notice: {
      kind: HEARS,
      show: ({ data, cafe }) =>
        read(store, async (tx) => {
          const asked = data as Asked;
          const here = await found(tx, cafe, asked.member);
          return here && view(words.in(here.cafe.language), here.cafe, here.member, here.named, asked.owner);
        }),
    },
  };
};
