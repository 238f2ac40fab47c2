import { cafeById, groupsOf, machineById, type Technician } from '../cafe/records.ts';
import type { Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { caseById, dangerAfter } from '../faults/records.ts';
import type { Ids } from '../store/id.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import type { Pressing } from './pressing.ts';
import { bookingById, bookingOf, type BookingRecord } from './records.ts';
import { refresh, tellCafe } from './told.ts';

export type FreeingNeeds = {
  readonly ids: Ids;
  readonly pressing: Pressing;
  readonly free: (tx: Tx, machine: string, by: string, reason: string, now: Instant) => Promise<void>;
  readonly groupBack: (tx: Tx, machine: string, group: number) => Promise<void>;
};

/** This technician was there and is finished. */
export const isFinishedBy = (row: BookingRecord, entry: Technician): boolean => {
  const { state } = bookingOf(row);
  return state.kind === 'finished' && state.technician === entry.id;
};

/** After the end: that a machine or a group may be used again, said by who was there, with a second press. */
export const createFreeing = ({ ids, pressing, free, groupBack }: FreeingNeeds): readonly PressRoute[] => {
  const { ofTechnician, technician, say: sayOf } = pressing;

  const askFree = async (pressed: Pressed): Promise<Answer> => {
    const say = sayOf(pressed);
    const ids = pressed.press.ids.slice(0, 2);
    return { kind: 'private', message: message([say('booking.free.1'), say('booking.free.2')], [button(say('booking.button.free-yes'), press('booking.freed', ...ids), 'danger'), button(say('booking.button.free-no'), press('booking.free-not', ...ids))]) };
  };

  const groupOut = async (tx: Tx, row: BookingRecord): Promise<number | undefined> => {
    const about = row.case_id === null ? undefined : (await caseById(tx, row.case_id))?.group_number;
    return row.machine === null ? undefined : (await groupsOf(tx, row.machine)).find(({ number, state }) => number === about && state === 'out of use')?.number;
  };

  /** A group left out of use. False: a danger was told of it meanwhile, and it stays out. */
  const freedGroup = async (tx: Tx, row: BookingRecord): Promise<number | false | undefined> => {
    const group = await groupOut(tx, row);
    if (group === undefined || row.machine === null) return undefined;
    await groupBack(tx, row.machine, group);
    return (await groupOut(tx, row)) === undefined ? group : false;
  };

  /** Only the one who was there and is finished can say it, and it is told in their name. */
  const freed = async (pressed: Pressed): Promise<Answer> => {
    const done = await ofTechnician(pressed, async (tx, row, entry) => {
      const booking = bookingOf(row);
      const cafe = await cafeById(tx, row.cafe);
      if (!isFinishedBy(row, entry) || row.machine === null || !cafe || booking.state.kind !== 'finished') return false;
      // Told after the visit: what was found at it says nothing of this.
      if (await dangerAfter(tx, row.machine, booking.state.since)) return 'danger';
      const machine = await machineById(tx, row.machine);
      const group = machine?.state === 'in use' ? await freedGroup(tx, row) : undefined;
      if (group === false) return false;
      if (machine?.state === 'in use' && group === undefined) return true;
      if (group === undefined) await free(tx, row.machine, entry.name, booking.state.closeOut.cause, pressed.now);
      await tellCafe({ tx, ids, now: pressed.now, cafe, row }, { kind: 'freed', technician: entry.id, at: pressed.now, ...(group === undefined ? {} : { group }) }, null);
      await refresh({ tx, now: pressed.now, row: (await bookingById(tx, row.id)) ?? row });
      return true;
    });
    return { kind: 'redraw', message: message([sayOf(pressed)(done === true ? 'booking.t.freed' : done === 'danger' ? 'booking.free.danger-since' : 'booking.refused.not-asked')]) };
  };

  return [
    technician('booking.free', askFree, 'private'),
    technician('booking.freed', freed),
    technician('booking.free-not', async (pressed) => ({ kind: 'redraw', message: message([sayOf(pressed)('booking.free.not')]) })),
  ];
};
