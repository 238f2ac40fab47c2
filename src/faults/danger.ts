import { cafeById, machineById, type Cafe } from '../cafe/records.ts';
import type { NoticeKind, PressRoute } from '../cafe/subject.ts';
import { button, line, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { Tx } from '../store/store.ts';
import { read } from '../store/transact.ts';
import { instant } from '../time/instant.ts';
import { clockTime, inLines } from '../words/format.ts';
import { createDangerDesk } from './danger-desk.ts';
import { createFreeing } from './danger-free.ts';
import type { Danger, DangerNeeds } from './danger-needs.ts';
import { createSaying } from './danger-say.ts';
import { createTelling } from './danger-tell.ts';
import { dangerById, type DangerRecord } from './records.ts';

/** Safety steps first, whoever tells; then what is so, who hears, what stays off, and who frees it. */
export const createDanger = (needs: DangerNeeds): Danger => {
  const { store, words } = needs;
  const desk = createDangerDesk(needs);
  const { takeWords, whichKind, pressWhich, pressWhere } = createTelling(desk);
  const { free, groupOut, rinsed, stillOff, stillOffNotice, switchOn, presses } = createFreeing(desk);

  const ownerText = async (tx: Tx, row: DangerRecord, cafe: Cafe, hasSeen = false): Promise<Message> => {
    const say = words.in(cafe.language);
    const first = say('danger.owner.1', { what: say(`danger.kind.${row.kind}`), cafe: cafe.name, time: clockTime(instant(row.at), { locale: cafe.language, zone: cafe.zone }) });
    const second = row.off_by === null ? say(row.state === 'everyone out' ? 'danger.owner.out' : 'danger.owner.on') : say(row.group_number === null ? 'danger.owner.off' : 'danger.owner.group', { name: row.off_by });
    const follows = row.reckoned === 1 && row.state === 'told' ? [say(row.group_number === null ? 'danger.owner.follows' : 'danger.owner.follows-group')] : [];
    const machine = row.machine === null ? undefined : await machineById(tx, row.machine);
    const fine = ['clear', 'settled'].includes(row.state) ? [say('danger.owner.fine')] : row.state === 'rinsed' ? [say(row.was_out === 1 ? 'danger.rinsed.out' : 'danger.owner.rinsed')] : [];
    const freeing = machine?.state === 'must stay off' ? [[button(say('danger.free.button'), press('danger.free', machine.id))]] : [];
    return message([...inLines(first).map((text) => line(text, 'danger')), ...follows, second, ...fine, ...(hasSeen ? [say('danger.owner.seen')] : [])].slice(0, 4), hasSeen ? [] : [button(say('danger.button.seen'), press('danger.seen', row.id))], ...freeing);
  };

  /** What was told stays on the message, and the way to free the machine with it. */
  const seenRoute: PressRoute = {
    kind: 'danger.seen', ack: 'update', right: 'anyone',
    take: async ({ press: { ids }, locale }) => {
      const told = await read(store, async (tx) => {
        const row = await dangerById(tx, ids[0] ?? '');
        const cafe = row && (await cafeById(tx, row.cafe));
        return row && cafe && ownerText(tx, row, cafe, true);
      });
      return { kind: 'redraw', message: told ?? message([words.in(locale)('danger.owner.seen')]) };
    },
  };

  const notices: readonly NoticeKind[] = [
    stillOffNotice,
    { kind: 'danger', show: ({ data }) => { const { danger: id, locale } = data as { danger: string; locale?: string }; return desk.draw(id, locale); } },
    {
      kind: 'danger.owner',
      show: ({ data }) =>
        read(store, async (tx) => {
          const row = await dangerById(tx, (data as { danger: string }).danger);
          const cafe = row && (await cafeById(tx, row.cafe));
          return row && cafe && ownerText(tx, row, cafe);
        }),
    },
  ];

  return {
    raise: desk.raise,
    groupOut,
    rinsed,
    free,
    whichKind,
    stillOff,
    presses: [
      createSaying(desk),
      pressWhich,
      pressWhere,
      seenRoute,
      ...presses,
    ],
    words: [
      { name: 'danger.words', order: 10, take: takeWords },
      { name: 'danger.switch-on', order: 12, take: switchOn },
    ],
    commands: [{ name: 'danger', take: async (command) => ({ kind: 'private', message: whichKind(command.locale) }) }],
    notices,
    timers: [
      {
        kind: 'danger.unanswered',
        fire: async (tx, { ref }, now) => {
          const row = await dangerById(tx, ref);
          if (row?.state === 'told') await desk.callOwners(tx, row, now);
        },
      },
    ],
  };
};
