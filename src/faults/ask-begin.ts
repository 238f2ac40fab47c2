import { cafeById, machineById, machinesOf, rolesIn, type Cafe, type Machine } from '../cafe/records.ts';
import { rightsOf } from '../cafe/roles.ts';
import { WHICH_CAFE, type CommandRoute, type DialogueKind, type Here, type PressRoute, type Said, type WhichCafe } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message } from '../chat/message.ts';
import { isDirect } from '../chat/who.ts';
import { closeDialogue, dialogueOf, openDialogue } from '../store/dialogue.ts';
import { read, transact } from '../store/transact.ts';
import { again, type Desk } from './ask-desk.ts';
import type { Ending } from './ask-end.ts';
import type { Reckoning } from './ask-reckon.ts';
import type { Finder, Found } from './find.ts';
import { groupNumber } from './find-told.ts';
import { heardReadings } from './heard.ts';
import { machineAnswered, machineIn, WHICH_MACHINE, whichMachineMessage } from './which-machine.ts';
import { caseById, changeCase, firstThings, insertCase, readingsOf, type CaseRecord, type Told } from './records.ts';

type Begin = { readonly cafe: Cafe; readonly machine: Machine; readonly symptom: string | null; readonly nearest: readonly string[]; readonly group: number | null; readonly allGroups: boolean; readonly readings: readonly Told[]; readonly text: string };

/** Read for sure: no other language need be tried. */
const UNDERSTOOD: readonly Found['kind'][] = ['sure', 'well', 'question'];

/** How the coffee tastes: asked after a burnt smell that turned out to be a taste. */
const TASTE = ['bad-taste', 'too-hot'];

/** From a sentence, a command or a press to an open case. */
export const createBeginning = (desk: Desk, ending: Ending, { modelOf }: Reckoning) => {
  const { needs, symptoms, advance, postCase } = desk;
  const { store, words, ids, finders } = needs;

  const begin = async (here: Here, what: Begin): Promise<void> => {
    await transact(store, [what.cafe.id], async (tx) => {
      const id = ids(here.now);
      const row: CaseRecord = {
        id, cafe: what.cafe.id, machine: what.machine.id, group_number: what.machine.groups === 1 ? 1 : what.group, group_asked: what.allGroups ? 1 : 0, step: 'ask', state: 'open', symptom: what.symptom, nearest: JSON.stringify(what.nearest),
        complaint: what.text, asker: here.by.id, asker_name: here.by.name, place: here.at, shown: '[]', readings: JSON.stringify(what.readings), question: null, hold: 0, verdict: null, photos: '[]', machine_state: null, opened_at: here.now, updated_at: here.now, closed_at: null, rev: 0,
      };
      await insertCase(tx, row);
      const immediate = what.symptom === null ? undefined : symptoms.get(what.symptom)?.immediate;
      const away = isDirect(here.at) && what.cafe.place !== null && what.symptom !== null && !immediate;
      await changeCase(tx, id, away ? { step: 'where' } : await advance(tx, row, here.now));
      const stored = await caseById(tx, id);
      if (stored) await postCase(tx, stored, here.at, here.now);
      await openDialogue(tx, ids, here.now, here.at, here.by.id, { kind: 'case', ref: id, cafe: what.cafe.id });
      if (immediate) await needs.raise(tx, { cafe: what.cafe, machine: what.machine.id, group: what.group, kind: immediate.kind, act: immediate.act, by: here.by, caseId: id, text: what.text }, here.now);
      if (stored) await ending.remind(tx, stored, here.now);
    });
  };

  const finderFor = (locale: string): Finder | undefined => finders.get(words.nearest(locale)) ?? finders.get('en');

  /** The café's language, where it makes anything of a sentence for sure; another one where the sentence is plainly in that. */
  const finderOf = (text: string, locale: string): Finder | undefined => {
    const own = finderFor(locale);
    if (own === undefined || UNDERSTOOD.includes(own.find(text).kind)) return own;
    const others = [...finders.values()].filter((finder) => finder !== own);
    const isRead = own.find(text).kind === 'unsure' ? ['sure'] : UNDERSTOOD;
    return others.find((finder) => isRead.includes(finder.find(text).kind)) ?? own;
  };

  /** Facts told beside the complaint: taken as answers, and shown as heard. */
  const heardIn = (finder: Finder, text: string, machine: Machine, symptom: string, stamp: { readonly by: string; readonly at: number }): readonly Told[] =>
    heardReadings(needs.catalogue, modelOf(machine), symptom, finder.told(text)).map((reading) => ({ ...reading, ...stamp, heard: true as const }));

  const cafeFor = (here: Here, cafes: readonly string[], wanted?: string) =>
    read(store, async (tx) => {
      const cafe = cafes[0] === undefined ? undefined : await cafeById(tx, cafes[0]);
      const machines = cafe ? await machinesOf(tx, cafe.id) : [];
      const machine = machines.find(({ id }) => id === wanted) ?? machines[0];
      return cafe && machine ? { cafe, machine, machines, may: rightsOf(await rolesIn(tx, cafe, here.by)).has('answer') } : undefined;
    });

  /** Keeps the complaint until it is known which of several machines it is about. */
  const askMachine = async (said: Said, cafe: Cafe, machines: readonly Machine[]): Promise<Answer> => {
    await transact(store, [cafe.id], (tx) => openDialogue(tx, ids, said.now, said.at, said.by.id, { kind: WHICH_MACHINE, ref: said.text, cafe: cafe.id }));
    return { kind: 'say', message: whichMachineMessage(words.in(said.locale), machines) };
  };

  /** Words where the complaints to choose from stand open: they name it, and what is known stays. */
  const named = async (said: Said, symptom: string, readings: readonly Told[]): Promise<boolean> => {
    const open = await read(store, (tx) => dialogueOf(tx, said.at, said.by.id));
    if (open?.kind !== 'case') return false;
    const waits = await read(store, (tx) => caseById(tx, open.ref));
    if (waits?.step !== 'which' || waits.closed_at !== null) return false;
    await desk.change(open.ref, said.now, undefined, async (tx, row) => {
      if (row.step !== 'which') return undefined;
      await ending.remind(tx, { ...row, symptom }, said.now);
      return { symptom, nearest: '[]', complaint: [row.complaint, said.text].filter((text) => text !== '').join(': '), readings: JSON.stringify([...readingsOf(row), ...readings]), ...again };
    });
    return true;
  };

  const takeComplaint = (sureOnly: boolean, wanted?: string) => async (said: Said): Promise<Answer | WhichCafe | undefined> => {
    if (said.text === '' || (said.reply && said.reply.kind !== 'case') || (sureOnly && needs.isRequest(said.text))) return undefined;
    const finder = finderOf(said.text, said.locale);
    const found = finder?.find(said.text) ?? { kind: 'none' as const };
    if (found.kind === 'well') return sureOnly || !said.addressed ? undefined : { kind: 'say', message: message([words.in(said.locale)('ask.well')]) };
    if (!finder || found.kind === 'none' || found.kind === 'question' || (sureOnly && found.kind !== 'sure') || (!sureOnly && !said.addressed && found.kind !== 'sure')) return undefined;
    if (said.cafes.length > 1) return WHICH_CAFE;
    const known = await cafeFor(said, said.cafes, wanted ?? (await machineNamed(said)));
    if (!known) return { kind: 'say', message: message([words.in(said.locale)('ask.no-cafe')]) };
    if (!known.may) return { kind: 'say', message: message([words.in(said.locale)('chat.barOnly')]) };
    // What this machine cannot have (a burner on a machine without gas) is not asked about; a danger is told of all the same.
    const here = new Set(modelOf(known.machine).symptoms.map(({ id }) => id));
    const possible = (id: string): boolean => here.has(id) || symptoms.get(id)?.immediate !== undefined;
    const nearest = (found.kind === 'sure' ? finder.ranked(said.text).map(({ symptom: id }) => id) : found.nearest).filter(possible).slice(0, 3);
    const told = found.kind === 'sure' ? [found.symptom, ...found.also].filter(possible) : [];
    if (told.length === 0 && nearest.length === 0) return said.addressed ? { kind: 'say', message: message([words.in(said.locale)('ask.none')]) } : undefined;
    const urgentFirst = told.toSorted((a, b) => Number(symptoms.get(b)?.immediate !== undefined) - Number(symptoms.get(a)?.immediate !== undefined));
    const [symptom = null, ...rest] = urgentFirst;
    // Another danger is told of all the same; anything else waits for the first one.
    const perhapsDanger = (symptom === null ? nearest : [symptom]).some((id) => symptoms.get(id)?.immediate !== undefined);
    const first = perhapsDanger ? null : await read(store, (tx) => firstThings(tx, known.machine, said.now));
    if (first) return { kind: 'say', message: message([words.in(said.locale)(`ask.first.${first}`), words.in(said.locale)('ask.first.later')]) };
    // A danger is not kept waiting for which machine it is.
    if (known.machines.length > 1 && wanted === undefined && !perhapsDanger && (await machineNamed(said)) === undefined) return askMachine(said, known.cafe, known.machines);
    const place = finder.group(said.text);
    const readings = symptom === null ? [] : heardIn(finder, said.text, known.machine, symptom, { by: said.by.name, at: said.now });
    if (symptom !== null && !perhapsDanger && (await named(said, symptom, readings))) return { kind: 'noted' };
    await begin(said, { ...known, symptom, nearest: symptom === null ? nearest : rest, group: groupNumber(place, known.machine.groups), allGroups: place?.kind === 'all', readings, text: said.text });
    return { kind: 'noted' };
  };

  const machineNamed = async (said: Said): Promise<string | undefined> => {
    const [cafe] = said.cafes;
    const machines = cafe === undefined ? [] : await read(store, (tx) => machinesOf(tx, cafe));
    return machineIn(said.text, machines, words.in(said.locale))?.id;
  };

  /** The complaint that waited, for the machine it turned out to be about. */
  const goOn = async (here: Here, cafe: string, text: string, machine: string): Promise<Answer> => {
    await transact(store, [cafe], (tx) => closeDialogue(tx, here.at, WHICH_MACHINE, here.by.id));
    const taken = await takeComplaint(false, machine)({ ...here, text, readable: true, addressed: true, attachments: [], voice: false, cafes: [cafe] });
    return taken === undefined || taken.kind === 'which-cafe' ? { kind: 'noted' } : taken;
  };

  const machineDialogue: DialogueKind = {
    kind: WHICH_MACHINE,
    take: async (said, { ref, cafe }) => {
      const machines = cafe === null ? [] : await read(store, (tx) => machinesOf(tx, cafe));
      const machine = machineAnswered(said.text, machines, words.in(said.locale));
      return cafe !== null && machine ? goOn(said, cafe, ref, machine.id) : undefined;
    },
    again: async ({ cafe }, here) => {
      const machines = cafe === null ? [] : await read(store, (tx) => machinesOf(tx, cafe));
      return machines.length > 1 ? whichMachineMessage(words.in(here.locale), machines) : undefined;
    },
  };

  const machinePress: PressRoute = {
    kind: WHICH_MACHINE, ack: 'update', right: 'answer', cafe: async (tx, given) => (await machineById(tx, given.ids[0] ?? ''))?.cafe,
    take: async (pressed) => {
      const [machine = ''] = pressed.press.ids;
      const open = await read(store, (tx) => dialogueOf(tx, pressed.at, pressed.by.id));
      const say = words.in(pressed.locale);
      if (open?.kind !== WHICH_MACHINE || open.cafe === null) return { kind: 'private', message: message([say('chat.tooOld')]) };
      const machines = await read(store, (tx) => machinesOf(tx, open.cafe ?? ''));
      const at = machines.findIndex(({ id }) => id === machine);
      if (at < 0) return { kind: 'private', message: message([say('chat.tooOld')]) };
      const answer = await goOn(pressed, open.cafe, open.ref, machine);
      return { kind: 'redraw', message: answer.kind === 'say' ? answer.message : message([machines[at]?.name ?? say('ask.machine.number', { number: at + 1 })]) };
    },
  };

  const openTaste = async (here: Here, cafe: string): Promise<void> => {
    const known = await cafeFor(here, [cafe]);
    const nearest = TASTE.filter((symptom) => symptoms.has(symptom));
    if (known && nearest.length > 0) await begin(here, { ...known, symptom: nearest.length === 1 ? (nearest[0] ?? null) : null, nearest: nearest.length === 1 ? [] : nearest, group: null, allGroups: false, readings: [], text: '' });
  };

  const command: CommandRoute = {
    name: 'problem',
    take: async (given) => {
      const text = given.given['text'];
      const taken = text ? await takeComplaint(false)({ ...given, text, readable: true, addressed: true, attachments: [], voice: false }) : undefined;
      return taken ?? { kind: 'private', message: message([words.in(given.locale)('ask.none')]) };
    },
  };

  return { takeComplaint, openTaste, command, finderFor, machineDialogue, machinePress };
};
