import { cafeById, cafesById, machineById, machinesOf, ownersOf, techniciansOf, type Cafe } from '../cafe/records.ts';
import type { Here, NoticeKind, Pressed, Said, Subject } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, line, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { direct, isDirect, personId, placeId, type PlaceId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import { post, redraw } from '../store/post.ts';
import type { Store, Tx } from '../store/store.ts';
import { setTimer } from '../store/timers.ts';
import { read, transact } from '../store/transact.ts';
import { instant, later, minutes, type Instant } from '../time/instant.ts';
import { dateAt } from '../time/wall-time.ts';
import type { Words } from '../words/catalogue.ts';
import { clockTime, dateAndTime, inLines } from '../words/format.ts';
import type { DangerKind } from './catalogue-schema.ts';
import { DANGER_KINDS } from './catalogue-schema.ts';
import { dangerMessage, dangerSteps, type DangerView, type Site } from './danger-views.ts';
import { changeDanger, dangerById, insertDanger, recentDanger, type DangerRecord } from './records.ts';

export type DangerNeeds = {
  readonly store: Store;
  readonly words: Words;
  readonly ids: Ids;
  /** Danger words in a sentence, and whether they can be meant otherwise. */
  readonly find: (text: string, locale: string) => { readonly kind: DangerKind; readonly sure: boolean } | undefined;
  /** Asks the technician, as urgent; called once people are safe. Returns the name asked, if anyone can be. */
  readonly askTechnician: (tx: Tx, danger: DangerRecord, now: Instant) => Promise<string | undefined>;
  /** The machine may have to go off: whatever else is being asked about it is put aside. */
  readonly putAside: (tx: Tx, cafe: string, machine: string, but: string | null, now: Instant) => Promise<void>;
  /** It was the coffee that tasted burnt: goes on with the questions about taste. */
  readonly openTaste: (here: Here, cafe: string) => Promise<void>;
};

export type Danger = Subject & {
  readonly raise: (tx: Tx, danger: Raised, now: Instant) => Promise<void>;
  /** Every danger to choose from. */
  readonly whichKind: (locale: string) => Message;
  /** Says once a day, first thing, that a machine must stay off; in place of the jobs that need it on. */
  readonly stillOff: (tx: Tx, cafe: Cafe, machine: string, now: Instant) => Promise<void>;
  /** A group is taken out of use at the bar, or is back in use; what a danger took out stays out until a technician has looked. */
  readonly groupOut: (tx: Tx, machine: string, group: number, out: boolean) => Promise<void>;
  /** A technician has looked: the machine (or its groups) may be used again. */
  readonly free: (tx: Tx, machine: string, by: string, reason: string, now: Instant) => Promise<void>;
};

export type Raised = { readonly cafe: Cafe; readonly machine: string | null; readonly group: number | null; readonly kind: string; readonly act: string; readonly by: Here['by']; readonly caseId: string | null; readonly text: string };

/** Told again within this time it is the same danger; and nobody can make noise with it. */
const SAME_DANGER = minutes(2);
const OFF_WORDS = /\b(switch|turn|put|power|start|use)\b.*\b(on|again|back)\b|\b(on again|back on)\b/i;

const isKind = (text: string): text is DangerKind => (DANGER_KINDS as readonly string[]).includes(text);

export const siteOf = (cafe: Cafe): Site => ({ switchOff: cafe.switch_off, breaker: cafe.breaker, waterTap: cafe.water_tap, emergency: cafe.emergency, gas: cafe.gas_emergency, poison: cafe.poison_line });

export const createDanger = ({ store, words, ids, find, askTechnician, putAside, openTaste }: DangerNeeds): Danger => {
  const keyOf = (id: string): string => `danger.${id}`;

  const viewOf = async (tx: Tx, row: DangerRecord, cafe: Cafe): Promise<DangerView> => {
    const [owner] = await ownersOf(tx, cafe.id);
    const [technician] = await techniciansOf(tx, cafe.id);
    return { id: row.id, kind: isKind(row.kind) ? row.kind : 'fire', state: row.state, groupOnly: row.group_number !== null, owner: owner?.name ?? null, technician: technician?.state === 'linked' ? technician.name : null, site: siteOf(cafe) };
  };

  const draw = async (id: string, locale?: string): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const row = await dangerById(tx, id);
      const cafe = row && (await cafeById(tx, row.cafe));
      return row && cafe && dangerMessage(words.in(locale ?? cafe.language), await viewOf(tx, row, cafe));
    });

  const callOwners = async (tx: Tx, row: DangerRecord, now: Instant): Promise<void> => {
    for (const owner of await ownersOf(tx, row.cafe))
      await post(tx, ids, now, { key: `danger.owner.${row.id}.${owner.id}`, cafe: row.cafe, place: direct(personId(owner.person ?? '')), kind: 'danger.owner', data: { danger: row.id, owner: owner.id }, priority: 'danger' });
  };

  /** The steps go out at once, loudly, in the café's channel, whoever told of it and wherever. */
  const raise: Danger['raise'] = async (tx, { cafe, machine, group, kind, act, by, caseId, text }, now) => {
    const same = await recentDanger(tx, cafe.id, kind, now - SAME_DANGER);
    if (same && same.state === 'told') return;
    const id = ids(now);
    const groupOnly = act === 'group-out' ? group : null;
    await insertDanger(tx, { id, cafe: cafe.id, machine, group_number: groupOnly, kind, state: 'told', text, by_person: by.id, by_name: by.name, off_at: null, off_by: null, case_id: caseId, at: now, rev: 0 });
    const owners = (await ownersOf(tx, cafe.id)).flatMap(({ person }) => (person === null ? [] : [personId(person)]));
    const place = cafe.place === null ? direct(by.id) : placeId(cafe.place);
    const loud = cafe.loud_danger === 1 ? { notify: owners, notifyRoles: cafe.bar_role === null ? [] : [cafe.bar_role] } : {};
    await post(tx, ids, now, { key: keyOf(id), cafe: cafe.id, place, kind: 'danger', data: { danger: id }, priority: 'danger', ...loud });
    await setTimer(tx, ids, now, { key: `danger.unanswered.${id}`, cafe: cafe.id, kind: 'danger.unanswered', ref: id, at: later(now, minutes(3)) });
    if (machine !== null) await putAside(tx, cafe.id, machine, caseId, now);
  };

  const stayOff = async (tx: Tx, row: DangerRecord, by: string, now: Instant): Promise<void> => {
    if (row.machine === null) return;
    if (row.group_number !== null) {
      await tx.updateTable('machine_group').set({ state: 'out of use' }).where('machine', '=', row.machine).where('number', '=', row.group_number).execute();
      return;
    }
    await tx.updateTable('machine').set({ state: 'must stay off', state_since: now, state_by: by, state_reason: row.kind }).where('id', '=', row.machine).execute();
  };

  const NEXT: Readonly<Record<string, string>> = { off: 'off', flames: 'everyone out', reach: 'out of reach', false: 'false alarm', hurt: 'hurt', fine: 'clear', gone: 'settled', still: 'goes on', out: 'everyone out', 'was-kitchen': 'over', 'was-cleaning': 'over', 'was-taste': 'over', 'was-nothing': 'over' };

  const pressSay = async (pressed: Pressed): Promise<Answer> => {
    const [id = '', what = ''] = pressed.press.ids;
    const cafeId = (await read(store, (tx) => dangerById(tx, id)))?.cafe;
    const state = NEXT[what];
    if (cafeId === undefined || state === undefined) return { kind: 'private', message: message([words.in(pressed.locale)('chat.tooOld')]) };
    const version = await transact(store, [cafeId], async (tx) => {
      const row = await dangerById(tx, id);
      if (!row) return undefined;
      const off = what === 'off' ? { off_at: pressed.now, off_by: pressed.by.name } : {};
      await changeDanger(tx, id, { state, ...off });
      const now = pressed.now;
      if (what === 'off' || what === 'flames' || what === 'out' || what === 'hurt') await stayOff(tx, row, pressed.by.name, now);
      if (state !== 'false alarm' && state !== 'over') await callOwners(tx, { ...row, ...off, state }, now);
      if (what === 'fine') await askTechnician(tx, { ...row, ...off, state }, now);
      for (const owner of await ownersOf(tx, cafeId)) await redraw(tx, `danger.owner.${id}.${owner.id}`, now);
      return redraw(tx, keyOf(id), now, pressed.shown?.key === keyOf(id));
    });
    const drawn = await draw(id, pressed.locale);
    if (what === 'was-taste') await openTaste(pressed, cafeId);
    return drawn ? { kind: 'redraw', message: drawn, ...(version !== undefined && pressed.shown?.key === keyOf(id) ? { shows: { key: keyOf(id), version } } : {}) } : { kind: 'noted' };
  };

  const cafeFor = async (here: Here, cafes: readonly string[]): Promise<{ cafe: Cafe; machine: string | null } | undefined> =>
    read(store, async (tx) => {
      const [cafe] = await cafesById(tx, cafes.slice(0, 1));
      const [machine] = cafe ? await machinesOf(tx, cafe.id) : [];
      return cafe && { cafe, machine: machine?.id ?? null };
    });

  /** Steps for someone whose café we do not know: in general words, where they are. */
  const bareSteps = (locale: string, kind: DangerKind): Message =>
    message(dangerSteps(words.in(locale), kind, { switchOff: null, breaker: null, waterTap: null, emergency: null, gas: null, poison: null }).map((text, i) => (i === 0 ? line(text, 'danger') : line(text))));

  const tell = async (here: Here, cafes: readonly string[], kind: DangerKind, text: string): Promise<Answer> => {
    const known = await cafeFor(here, cafes);
    if (!known) return { kind: 'say', message: bareSteps(here.locale, kind) };
    await transact(store, [known.cafe.id], (tx) => raise(tx, { ...known, group: null, kind, act: kind === 'pressure' || kind === 'chemical' ? 'group-out' : 'machine-off', by: here.by, caseId: null, text }, here.now));
    const elsewhere = isDirect(here.at) || known.cafe.place !== here.at;
    return elsewhere ? { kind: 'say', message: message(dangerSteps(words.in(here.locale), kind, siteOf(known.cafe)).map((each, i) => (i === 0 ? line(each, 'danger') : line(each)))) } : { kind: 'noted' };
  };

  const takeWords = async (said: Said): Promise<Answer | undefined> => {
    if (said.text === '') return undefined;
    const found = find(said.text, said.locale);
    return found && tell(said, said.cafes, found.kind, said.text);
  };

  const switchOn = async (said: Said): Promise<Answer | undefined> => {
    if (!OFF_WORDS.test(said.text)) return undefined;
    const off = await read(store, async (tx) => (await Promise.all(said.cafes.map((cafe) => machinesOf(tx, cafe)))).flat().find((machine) => machine.state === 'must stay off'));
    if (!off) return undefined;
    const say = words.in(said.locale);
    return { kind: 'say', message: message([say('danger.no-switch-on.1'), say('danger.no-switch-on.2')]) };
  };

  const whichKind = (locale: string): Message => {
    const say = words.in(locale);
    const of = (kind: DangerKind) => button(say(`danger.label.${kind}`), press('danger.which', kind));
    return message([line(say('danger.which'), 'danger')], [of('fire'), of('electric')], [of('gas'), of('scald')], [of('person'), of('chemical')], [of('steam'), of('pressure'), of('flood')]);
  };

  const free: Danger['free'] = async (tx, machine, by, reason, now) => {
    await tx.updateTable('machine').set({ state: 'in use', state_since: now, state_by: by, state_reason: reason }).where('id', '=', machine).execute();
    await tx.updateTable('machine_group').set({ state: 'in use' }).where('machine', '=', machine).execute();
  };

  const groupOut: Danger['groupOut'] = async (tx, machine, group, out) => {
    const state = tx.updateTable('machine_group').set({ state: out ? 'out of use' : 'in use' }).where('machine', '=', machine).where('number', '=', group);
    if (out) return void (await state.execute());
    const at = await machineById(tx, machine);
    const told = await tx.selectFrom('danger').select('id').where('machine', '=', machine).where('group_number', '=', group).where('state', 'not in', ['false alarm', 'over']).where('at', '>', at?.state_since ?? 0).executeTakeFirst();
    if (!told) await state.execute();
  };

  const stillOff: Danger['stillOff'] = async (tx, cafe, machine, now) => {
    if (cafe.place === null) return;
    await post(tx, ids, now, { key: `danger.off.${machine}.${dateAt(now, cafe.zone)}`, cafe: cafe.id, place: placeId(cafe.place), kind: 'danger.off', data: { machine }, priority: 'danger' });
  };

  const pressFree = async (pressed: Pressed): Promise<Answer> => {
    const say = words.in(pressed.locale);
    const [machineId = ''] = pressed.press.ids;
    const reason = pressed.answers['reason']?.[0]?.trim();
    if (reason === undefined)
      return { kind: 'form', form: { title: say('danger.free.form'), submit: press('danger.freed', machineId), questions: [{ key: 'reason', label: say('danger.free.reason'), answer: { kind: 'words', most: 300 } }] } };
    return { kind: 'noted' };
  };

  const pressFreed = async (pressed: Pressed): Promise<Answer> => {
    const say = words.in(pressed.locale);
    const [machineId = ''] = pressed.press.ids;
    const reason = pressed.answers['reason']?.[0]?.trim() ?? '';
    if (reason.split(/\s+/).length < 3) return { kind: 'redraw', message: message([say('danger.free.short')], [button(say('danger.free.button'), press('danger.free', machineId))]) };
    const machine = await read(store, (tx) => machineById(tx, machineId));
    if (!machine) return { kind: 'redraw', message: message([say('chat.tooOld')]) };
    const zone = await transact(store, [machine.cafe], async (tx) => {
      await free(tx, machineId, pressed.by.name, reason, pressed.now);
      return (await cafeById(tx, machine.cafe))?.zone ?? 'UTC';
    });
    return { kind: 'redraw', message: message([say('danger.free.1', { name: pressed.by.name, time: clockTime(pressed.now, { locale: pressed.locale, zone }) })]) };
  };

  const ownerText = async (tx: Tx, row: DangerRecord, cafe: Cafe, language: string): Promise<Message> => {
    const say = words.in(language);
    const first = say('danger.owner.1', { what: say(`danger.kind.${row.kind}`), cafe: cafe.name, time: clockTime(instant(row.at), { locale: language, zone: cafe.zone }) });
    const second = row.off_by === null ? say('danger.owner.on') : say(row.group_number === null ? 'danger.owner.off' : 'danger.owner.group', { name: row.off_by });
    const machine = row.machine === null ? undefined : await machineById(tx, row.machine);
    const fine = ['clear', 'settled'].includes(row.state) ? [say('danger.owner.fine')] : [];
    const freeing = machine?.state === 'must stay off' ? [[button(say('danger.free.button'), press('danger.free', machine.id))]] : [];
    return message([line(first, 'danger'), second, ...fine], [button(say('danger.button.seen'), press('danger.seen', row.id))], ...freeing);
  };

  const notices: readonly NoticeKind[] = [
    {
      kind: 'danger.off',
      show: ({ data }) =>
        read(store, async (tx) => {
          const machine = await machineById(tx, (data as { machine: string }).machine);
          const cafe = machine && (await cafeById(tx, machine.cafe));
          if (!machine || !cafe || machine.state !== 'must stay off') return undefined;
          const say = words.in(cafe.language);
          const since = machine.state_since === null ? '' : dateAndTime(instant(machine.state_since), { locale: cafe.language, zone: cafe.zone });
          const what = say(`danger.kind.${isKind(machine.state_reason ?? '') ? machine.state_reason : 'fire'}`);
          return message([line(say('danger.must-stay-off', { since }), 'danger'), ...inLines(say('danger.must-stay-off.why', { what })), say('danger.must-stay-off.jobs')]);
        }),
    },
    { kind: 'danger', show: ({ data }) => draw((data as { danger: string }).danger) },
    {
      kind: 'danger.owner',
      show: ({ data }) =>
        read(store, async (tx) => {
          const row = await dangerById(tx, (data as { danger: string }).danger);
          const cafe = row && (await cafeById(tx, row.cafe));
          return row && cafe && ownerText(tx, row, cafe, cafe.language);
        }),
    },
  ];

  const machineCafe = async (tx: Tx, machineId: string | undefined): Promise<string | undefined> => (machineId === undefined ? undefined : (await machineById(tx, machineId))?.cafe);

  return {
    raise,
    groupOut,
    free,
    whichKind,
    stillOff,
    presses: [
      { kind: 'danger.say', ack: 'update', right: 'anyone', take: pressSay },
      { kind: 'danger.which', ack: 'update', right: 'anyone', take: async (pressed) => {
        const kind = pressed.press.ids[0] ?? '';
        const cafes = await read(store, async (tx) => (await cafesHereOf(tx, pressed.at, pressed)).map(({ id }) => id));
        const answer = await tell(pressed, cafes, isKind(kind) ? kind : 'fire', '/danger');
        return answer.kind === 'say' ? { kind: 'redraw', message: answer.message } : { kind: 'redraw', message: message(dangerSteps(words.in(pressed.locale), isKind(kind) ? kind : 'fire', await siteFor(cafes))) };
      } },
      { kind: 'danger.seen', ack: 'update', right: 'anyone', take: async (pressed) => ({ kind: 'redraw', message: message([words.in(pressed.locale)('danger.owner.seen')]) }) },
      { kind: 'danger.free', ack: 'form', right: 'own', cafe: (tx, given) => machineCafe(tx, given.ids[0]), take: pressFree },
      { kind: 'danger.freed', ack: 'update', right: 'own', cafe: (tx, given) => machineCafe(tx, given.ids[0]), take: pressFreed },
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
          if (row?.state === 'told') await callOwners(tx, row, now);
        },
      },
    ],
  };

  async function cafesHereOf(tx: Tx, place: PlaceId, here: Here): Promise<readonly Cafe[]> {
    const rows = await tx.selectFrom('cafe').selectAll().where('place', '=', place).where('state', '!=', 'gone').execute();
    if (rows.length > 0) return rows;
    const own = await tx.selectFrom('member').select('cafe').where('person', '=', here.by.id).execute();
    return cafesById(tx, own.map(({ cafe }) => cafe));
  }

  async function siteFor(cafes: readonly string[]): Promise<Site> {
    const cafe = await read(store, async (tx) => (cafes[0] === undefined ? undefined : cafeById(tx, cafes[0])));
    return cafe ? siteOf(cafe) : { switchOff: null, breaker: null, waterTap: null, emergency: null, gas: null, poison: null };
  }
};
