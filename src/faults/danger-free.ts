import { cafeById, machineById, machinesOf, ownersOf } from '../cafe/records.ts';
import type { NoticeKind, Pressed, PressRoute, Said } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, line, message } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import { placeId } from '../chat/who.ts';
import { post, redraw } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { instant } from '../time/instant.ts';
import { dateAt } from '../time/wall-time.ts';
import { clockTime, dateAndTime, inLines } from '../words/format.ts';
import { dangerKey, ownerKey, secondKey, type DangerDesk } from './danger-desk.ts';
import { isDangerKind, type Danger } from './danger-needs.ts';
import { changeDanger, isRinsedOut, PAST } from './records.ts';

const ON_AGAIN = /\b(switch|turn|put|power|start|use)\b.*\b(on|again|back)\b|\b(on again|back on)\b/i;

/** Fewer words than this are no reason. */
const LEAST_WORDS = 3;

/** What stays off, and who frees it. */
export const createFreeing = ({ needs }: DangerDesk) => {
  const { store, words, ids } = needs;

  const free: Danger['free'] = async (tx, machine, by, reason, now) => {
    await tx.updateTable('machine').set({ state: 'in use', state_since: now, state_by: by, state_reason: reason }).where('id', '=', machine).execute();
    await tx.updateTable('machine_group').set({ state: 'in use' }).where('machine', '=', machine).execute();
  };

  const groupOut: Danger['groupOut'] = async (tx, machine, group, out) => {
    const state = tx.updateTable('machine_group').set({ state: out ? 'out of use' : 'in use' }).where('machine', '=', machine).where('number', '=', group);
    if (out) return void (await state.execute());
    const at = await machineById(tx, machine);
    const told = await tx.selectFrom('danger').select('id').where('machine', '=', machine).where('group_number', '=', group).where('state', 'not in', [...PAST]).where('at', '>', at?.state_since ?? 0).executeTakeFirst();
    if (!told) await state.execute();
  };

  const rinsed: Danger['rinsed'] = async (tx, machine, now) => {
    const told = (await tx.selectFrom('danger').selectAll().where('machine', '=', machine).where('kind', '=', 'chemical').where('state', 'not in', [...PAST]).execute()).filter(isRinsedOut);
    for (const { id, cafe, group_number: group, was_out: wasOut } of told) {
      await changeDanger(tx, id, { state: 'rinsed' });
      if (group !== null && wasOut === 0) await groupOut(tx, machine, group, false);
      for (const owner of await ownersOf(tx, cafe)) await redraw(tx, ownerKey(id, owner.id), now);
      for (const key of [dangerKey(id), secondKey(id)]) await redraw(tx, key, now);
    }
  };

  const stillOff: Danger['stillOff'] = async (tx, cafe, machine, now) => {
    if (cafe.place === null) return;
    await post(tx, ids, now, { key: `danger.off.${machine}.${dateAt(now, cafe.zone)}`, cafe: cafe.id, place: placeId(cafe.place), kind: 'danger.off', data: { machine }, priority: 'danger' });
  };

  const stillOffNotice: NoticeKind = {
    kind: 'danger.off',
    show: ({ data }) =>
      read(store, async (tx) => {
        const machine = await machineById(tx, (data as { machine: string }).machine);
        const cafe = machine && (await cafeById(tx, machine.cafe));
        if (!machine || !cafe || machine.state !== 'must stay off') return undefined;
        const say = words.in(cafe.language);
        const since = machine.state_since === null ? '' : dateAndTime(instant(machine.state_since), { locale: cafe.language, zone: cafe.zone });
        const what = say(`danger.kind.${isDangerKind(machine.state_reason ?? '') ? machine.state_reason : 'fire'}`);
        return message([line(say('danger.must-stay-off', { since }), 'danger'), ...inLines(say('danger.must-stay-off.why', { what })), say('danger.must-stay-off.jobs')]);
      }),
  };

  const switchOn = async (said: Said): Promise<Answer | undefined> => {
    if (!ON_AGAIN.test(said.text)) return undefined;
    const off = await read(store, async (tx) => (await Promise.all(said.cafes.map((cafe) => machinesOf(tx, cafe)))).flat().find((machine) => machine.state === 'must stay off'));
    if (!off) return undefined;
    const say = words.in(said.locale);
    return { kind: 'say', message: message([say('danger.no-switch-on.1'), say('danger.no-switch-on.2')]) };
  };

  const askReason = async (pressed: Pressed): Promise<Answer> => {
    const say = words.in(pressed.locale);
    const [machine = ''] = pressed.press.ids;
    return { kind: 'form', form: { title: say('danger.free.form'), submit: press('danger.freed', machine), questions: [{ key: 'reason', label: say('danger.free.reason'), answer: { kind: 'words', most: 300 } }] } };
  };

  const takeReason = async (pressed: Pressed): Promise<Answer> => {
    const say = words.in(pressed.locale);
    const [machineId = ''] = pressed.press.ids;
    const reason = pressed.answers['reason']?.[0]?.trim() ?? '';
    if (reason.split(/\s+/).length < LEAST_WORDS) return { kind: 'redraw', message: message([say('danger.free.short')], [button(say('danger.free.button'), press('danger.free', machineId))]) };
    const machine = await read(store, (tx) => machineById(tx, machineId));
    if (!machine) return { kind: 'redraw', message: message([say('chat.tooOld')]) };
    const zone = await transact(store, [machine.cafe], async (tx) => {
      await free(tx, machineId, pressed.by.name, reason, pressed.now);
      return (await cafeById(tx, machine.cafe))?.zone ?? 'UTC';
    });
    return { kind: 'redraw', message: message([say('danger.free.1', { name: pressed.by.name, time: clockTime(pressed.now, { locale: pressed.locale, zone }) })]) };
  };

  const cafe = async (tx: Tx, given: Press): Promise<string | undefined> => (given.ids[0] === undefined ? undefined : (await machineById(tx, given.ids[0]))?.cafe);
  const presses: readonly PressRoute[] = [
    { kind: 'danger.free', ack: 'form', right: 'own', cafe, take: askReason },
    { kind: 'danger.freed', ack: 'update', right: 'own', cafe, take: takeReason },
  ];

  return { free, groupOut, rinsed, stillOff, stillOffNotice, switchOn, presses };
};
