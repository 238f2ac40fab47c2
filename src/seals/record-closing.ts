import { machineById } from '../cafe/records.ts';
import type { Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { redraw } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import type { Instant } from '../time/instant.ts';
import { closesOf } from './closing.ts';
import { lookKey, type LookDesk } from './look-desk.ts';
import { createSpots, type Spot } from './record-spot.ts';
import { closingMessage, closingNotedMessage } from './record-closing-view.ts';
import { closesIn, insertReading, lookById, recordOf, supersedeReading, verdictsOfGroup } from './records.ts';

/** To which side a group's handle is pushed, said by whoever knows the machine; what was said before stays on record. */
export const createClosing = (desk: LookDesk) => {
  const { store, ids } = desk.needs;
  const { none, spotOf } = createSpots(desk);

  const ask = (pressed: Pressed): Promise<Answer> =>
    read(store, async (tx): Promise<Answer> => {
      const spot = await spotOf(tx, pressed.press.ids);
      if (!spot) return { kind: 'redraw', message: none(pressed) };
      return { kind: 'redraw', message: closingMessage(desk.show(spot.cafe, pressed.locale), spot.machine.id, spot.group, closesIn(await recordOf(tx, spot.machine.id), spot.group)) };
    });

  /** The verdict of the last look is reached anew, as after a correction. */
  const judgeAgain = async (tx: Tx, { cafe, machine, group }: Spot, now: Instant): Promise<void> => {
    const told = (await verdictsOfGroup(tx, machine.id, group)).at(-1);
    const look = told && (await lookById(tx, told.look));
    if (!look) return desk.needs.moved(tx, cafe.id, now);
    await desk.settle(tx, look, cafe, machine, group, now);
    await redraw(tx, lookKey(look.id), now);
  };

  const say = async (pressed: Pressed): Promise<Answer> => {
    const closes = closesOf(pressed.press.ids[2]);
    const spot = await read(store, (tx) => spotOf(tx, pressed.press.ids));
    if (!spot || closes === undefined) return { kind: 'redraw', message: none(pressed) };
    await transact(store, [spot.cafe.id], async (tx) => {
      const record = await recordOf(tx, spot.machine.id);
      if (closesIn(record, spot.group) === closes) return;
      const id = ids(pressed.now);
      await insertReading(tx, { id, cafe: spot.cafe.id, machine: spot.machine.id, group_number: spot.group, look: null, what: 'closes', value: closes, machine_state: 'cold', by_person: pressed.by.id, by_name: pressed.by.name, at: pressed.now, superseded_by: null });
      for (const row of record.readings.filter(({ what, group_number }) => what === 'closes' && group_number === spot.group)) await supersedeReading(tx, row.id, id);
      await judgeAgain(tx, spot, pressed.now);
    });
    return { kind: 'redraw', message: closingNotedMessage(desk.show(spot.cafe, pressed.locale), spot.machine.id, spot.group, closes) };
  };

  const cafe: NonNullable<PressRoute['cafe']> = async (tx, given) => (await machineById(tx, given.ids[0] ?? ''))?.cafe;
  const route = (kind: string, take: PressRoute['take']): PressRoute => ({ kind, ack: 'update', right: 'answer', cafe, take });
  return { presses: [route('record.closes', ask), route('record.closes-is', say)] };
};
