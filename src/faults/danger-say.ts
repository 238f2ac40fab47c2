import { machineById, ownersOf } from '../cafe/records.ts';
import type { Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message } from '../chat/message.ts';
import { redraw } from '../store/post.ts';
import { read, transact } from '../store/transact.ts';
import { dangerKey, ownerKey, secondKey, type DangerDesk } from './danger-desk.ts';
import type { Tx } from '../store/store.ts';
import { changeDanger, dangerById, isRinsedOut, type DangerRecord } from './records.ts';

/** What is said to the steps, and the state of the danger it leads to. */
const NEXT: Readonly<Record<string, string>> = {
  off: 'off', flames: 'everyone out', reach: 'out of reach', false: 'false alarm', hurt: 'hurt', fine: 'clear', gone: 'settled', still: 'goes on', out: 'everyone out',
  'was-kitchen': 'over', 'was-cleaning': 'over', 'was-taste': 'over', 'was-nothing': 'over',
};

const MARKS: readonly string[] = ['off', 'flames', 'out', 'hurt'];

/** On which of its messages it was pressed, where it was one of those that show the steps. */
const shownKey = ({ shown }: Pressed, id: string): string | undefined => [dangerKey(id), secondKey(id)].find((key) => key === shown?.key);

/** A press on the steps: what is so now, who has to hear, what must stay off. */
export const createSaying = ({ needs, draw, callOwners, stayOff }: DangerDesk): PressRoute => {
  const { store, words, askTechnician, tellTechnician, openTaste } = needs;

  /** The group that was meant, told with the press where nobody had named it before. */
  const meantIn = async (tx: Tx, row: DangerRecord, told: string | undefined): Promise<number | null> => {
    const machine = row.machine === null ? undefined : await machineById(tx, row.machine);
    const group = Number(told);
    return row.group_number ?? (machine && Number.isInteger(group) && group >= 1 && group <= machine.groups ? group : null);
  };

  const note = async (pressed: Pressed, cafe: string, id: string, what: string, state: string): Promise<number | undefined> =>
    transact(store, [cafe], async (tx) => {
      const before = await dangerById(tx, id);
      const row = before && { ...before, group_number: await meantIn(tx, before, pressed.press.ids[2]) };
      if (!row || (row.reckoned === 1 && what === 'false')) return undefined;
      const { now } = pressed;
      const off = what === 'off' ? { off_at: now, off_by: pressed.by.name } : {};
      await changeDanger(tx, id, { state, group_number: row.group_number, ...off });
      if (MARKS.includes(what)) await stayOff(tx, row, pressed.by.name, now);
      if (state !== 'false alarm' && state !== 'over') await callOwners(tx, { ...row, ...off, state }, now);
      if (what === 'fine' && !isRinsedOut(row)) await askTechnician(tx, { ...row, ...off, state }, now);
      await tellTechnician(tx, row, now);
      for (const owner of await ownersOf(tx, cafe)) await redraw(tx, ownerKey(id, owner.id), now);
      const on = shownKey(pressed, id);
      const versions = new Map<string, number | undefined>();
      for (const key of [dangerKey(id), secondKey(id)]) versions.set(key, await redraw(tx, key, now, on === key));
      return on === undefined ? undefined : versions.get(on);
    });

  const take = async (pressed: Pressed): Promise<Answer> => {
    const [id = '', what = ''] = pressed.press.ids;
    const cafe = (await read(store, (tx) => dangerById(tx, id)))?.cafe;
    const state = NEXT[what];
    if (cafe === undefined || state === undefined) return { kind: 'private', message: message([words.in(pressed.locale)('chat.tooOld')]) };
    const version = await note(pressed, cafe, id, what, state);
    // Each of two messages stays in its language, whoever presses on it.
    const own = (pressed.shown?.data as { readonly locale?: string } | undefined)?.locale;
    const drawn = await draw(id, own ?? pressed.locale);
    if (what === 'was-taste') await openTaste(pressed, cafe);
    if (!drawn) return { kind: 'noted' };
    return { kind: 'redraw', message: drawn, ...(version !== undefined && pressed.shown ? { shows: { key: pressed.shown.key, version } } : {}) };
  };

  return { kind: 'danger.say', ack: 'update', right: 'anyone', take };
};
