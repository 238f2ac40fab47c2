import { calendarOf } from '../cafe/calendar.ts';
import { isOpenAt } from '../cafe/hours.ts';
import { cafeById, machineById, type Cafe, type Machine } from '../cafe/records.ts';
import type { NoticeKind, Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message, type Message } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import { placeId, type PersonId } from '../chat/who.ts';
import { redraw } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { setTimer, stopTimer } from '../store/timers.ts';
import { read, transact } from '../store/transact.ts';
import { later, type Instant } from '../time/instant.ts';
import { clockTime } from '../words/format.ts';
import type { Again } from './card-again.ts';
import { runKey, type CardFinished, type Desk, type Room } from './card-desk.ts';
import { DETERGENT_STANDS, fits, heatMinutes } from './card-fit.ts';
import { apartRuns, closedUp, doerOf, figuresOf, noteShown, progressOf, recordCheck, runById, setResidue, shownById, writeProgress, type CardRun, type CardShown } from './card-records.ts';
import { cardMessage, headOf, waitUntil } from './card-views.ts';
import type { Card } from './cards-config.ts';
import { handOver, isCooled, move, screenAt, type CardAct, type Progress } from './job-card.ts';

/** What became of a press on a card in progress. */
type Told =
  | { readonly kind: 'moved' | 'stale'; readonly version: number | undefined }
  | { readonly kind: 'other'; readonly run: CardRun }
  | { readonly kind: 'apart'; readonly by: string; readonly card: Card; readonly group: number | null }
  | { readonly kind: 'stays-off' | 'late' | 'rewritten' | 'gone' }
  | { readonly kind: 'asked' | 'not-asked'; readonly version: number | undefined };

export type Running = {
  readonly presses: readonly PressRoute[];
  readonly notices: readonly NoticeKind[];
  /** The card as it stands now. */
  readonly draw: (run: string, now: Instant, page?: number) => Promise<Message | undefined>;
  /** Writes what a card has come to, with all that follows from it. */
  readonly settle: (tx: Tx, run: CardRun, card: Card, cafe: Cafe, after: Progress, by: Finisher, now: Instant) => Promise<void>;
};

type Finisher = { readonly person: PersonId | null; readonly name: string };
type Scene = { readonly run: CardRun; readonly card: Card; readonly cafe: Cafe; readonly machine: Machine };

/** Anyone may say that something is wrong, whoever's card it is. */
const FOR_ALL: ReadonlySet<CardAct['kind']> = new Set(['wrong', 'danger', 'return']);

/** Would this press have hands at a machine that is on, or switch it on? */
const turnsHot = (card: Card, progress: Progress, act: CardAct): boolean => {
  const screen = screenAt(card, progress.at);
  if (act.kind !== 'ready' && act.kind !== 'next' && act.kind !== 'go-on' && act.kind !== 'return') return false;
  return card.parts[screen.part]?.block === 'hot' || (screen.kind === 'step' && screen.step.does.includes('switch-on'));
};

const switchesOn = (card: Card, progress: Progress, act: CardAct): boolean => {
  const screen = screenAt(card, progress.at);
  if (screen.kind === 'step') return act.kind === 'next' && screen.step.does.includes('switch-on');
  return act.kind === 'ready' && card.parts[screen.part]?.block === 'hot' && screen.part > 0;
};

const MOST_NAMES = 9;

const nameRows = (marked: readonly CardShown[], run: string) => {
  const buttons = marked.slice(0, MOST_NAMES).map((each) => button(Array.from(each.name).slice(0, 20).join(''), press('card.mine', run, each.id)));
  return [buttons.slice(0, 3), buttons.slice(3, 6), buttons.slice(6)].filter((row) => row.length > 0);
};

/** Begins to open the machine when there is no more time to close it and heat it before the door opens. */
const opensTooLate = ({ card, cafe, machine }: Scene, progress: Progress, act: CardAct, now: Instant): boolean => {
  const screen = screenAt(card, progress.at);
  if (act.kind !== 'ready' || screen.kind !== 'block' || progress.apart || !isCooled(card.parts[screen.part])) return false;
  return fits(card, calendarOf(cafe), now, { ...figuresOf(cafe, machine), cool: 0, offAtNight: 'yes' }).kind !== 'fits';
};

export const createRunning = (desk: Desk, again: Again): Running => {
  const { store, words, ids, book, finished, wrong, whichDanger } = desk.needs;

  const draw: Running['draw'] = (runId, now, page) =>
    read(store, async (tx) => {
      const run = await runById(tx, runId);
      const shown = run && (await desk.viewOf(tx, run, now));
      return shown && cardMessage(desk.show(shown.cafe), shown.view, page);
    });

  const sceneOf = async (tx: Tx, runId: string): Promise<Scene | 'gone' | 'rewritten'> => {
    const run = await runById(tx, runId);
    const cafe = run && (await cafeById(tx, run.cafe));
    const machine = run && (await machineById(tx, run.machine));
    if (!run || !cafe || !machine) return 'gone';
    const card = desk.cardOf(run);
    return card ? { run, card, cafe, machine } : 'rewritten';
  };

  const told = (run: CardRun, by: Finisher, now: Instant): Omit<CardFinished, 'result' | 'answer' | 'when'> => ({
    cardRun: run.id, job: run.for_job, card: run.job, cafe: run.cafe, machine: run.machine, group: run.group_number, caseId: run.case_id, place: placeId(run.place), by, now,
  });

  const setWait = async (tx: Tx, { run, card, cafe, machine }: Scene, after: Progress, now: Instant): Promise<void> => {
    const until = waitUntil(card, after, heatMinutes(figuresOf(cafe, machine)));
    if (until === null) await stopTimer(tx, `card.wait.${run.id}`);
    else await setTimer(tx, ids, now, { key: `card.wait.${run.id}`, cafe: run.cafe, kind: 'card.wait', ref: `${run.id} ${after.at}`, at: until });
  };

  /** Detergent that stands while guests are served is not left till the next opening. */
  const watchDetergent = async (tx: Tx, { run, card, cafe, machine }: Scene, after: Progress, now: Instant): Promise<void> => {
    const calendar = calendarOf(cafe);
    if (!after.residue || calendar === null || !isOpenAt(calendar, now)) return;
    const until = waitUntil(card, after, heatMinutes(figuresOf(cafe, machine)));
    await setTimer(tx, ids, now, { key: `card.open.${run.id}`, cafe: run.cafe, kind: 'card.open', ref: run.id, at: later(until ?? now, DETERGENT_STANDS) });
  };

  const end = async (tx: Tx, { run, card, cafe }: Scene, after: Progress, by: Finisher, now: Instant): Promise<void> => {
    const result = after.result ?? 'left';
    if (!after.apart && !after.residue) await stopTimer(tx, `card.open.${run.id}`);
    if (after.answer !== null) await recordCheck(tx, { id: ids(now), run: run.id, cafe: run.cafe, job: run.job, machine: run.machine, group_number: run.group_number, asked_when: 'end', answer: after.answer, leads: result, by_person: by.person, by_name: by.name, at: now });
    if (result === 'cured' || result === 'better') await again.plan(tx, run, card, cafe, now);
    await finished(tx, { ...told(run, by, now), result, answer: after.answer, when: 'end' });
  };

  const settle: Running['settle'] = async (tx, run, card, cafe, after, by, now) => {
    const machine = await machineById(tx, run.machine);
    if (!machine) return;
    const before = progressOf(run);
    await writeProgress(tx, run.id, after);
    if (after.residue !== before.residue && card.for !== 'bench') await setResidue(tx, run.machine, card.for === 'group' ? run.group_number : null, after.residue, now);
    await setWait(tx, { run, card, cafe, machine }, after, now);
    await watchDetergent(tx, { run, card, cafe, machine }, after, now);
    if (after.state === 'ended' && before.state !== 'ended') await end(tx, { run, card, cafe, machine }, after, by, now);
  };

  const act = async (pressed: Pressed, what: CardAct): Promise<Told> => {
    const { now, by } = pressed;
    const runId = pressed.press.ids[0] ?? '';
    const cafeId = (await read(store, (tx) => runById(tx, runId)))?.cafe;
    if (cafeId === undefined) return { kind: 'gone' };
    return transact(store, [cafeId], async (tx): Promise<Told> => {
      const scene = await sceneOf(tx, runId);
      if (typeof scene === 'string') return { kind: scene };
      const { run, card, cafe, machine } = scene;
      const before = progressOf(run);
      if (run.doer_person !== by.id && !FOR_ALL.has(what.kind) && before.state !== 'ended') return { kind: 'other', run };
      if (machine.state === 'must stay off' && card.for !== 'grinder' && turnsHot(card, before, what)) return { kind: 'stays-off' };
      if (opensTooLate(scene, before, what, now)) return { kind: 'late' };
      const [other] = switchesOn(card, before, what) ? (await apartRuns(tx, machine.id)).filter((each) => each.id !== run.id && book.cards.get(each.job)?.for !== 'grinder') : [];
      const otherCard = other && book.cards.get(other.job);
      if (other && otherCard) return { kind: 'apart', by: other.doer_name, card: otherCard, group: other.group_number };
      const doer = doerOf(run);
      const moved = move(card, before, what, doer, now);
      const who: Finisher = run.doer_person === by.id ? { person: by.id, name: run.doer_name } : { person: by.id, name: by.name };
      if (moved.kind === 'moved') {
        await settle(tx, run, card, cafe, moved.progress, who, now);
        if (what.kind === 'danger') await wrong(tx, { ...told(run, who, now), by, danger: true, step: before.at + 1 });
      }
      return { kind: moved.kind, version: await redraw(tx, runKey(runId), now, pressed.shown?.key === runKey(runId)) };
    });
  };

  /** The questions begin with what is known; the card waits, or is over. */
  const askQuestions = async (pressed: Pressed): Promise<Told> => {
    const { now, by } = pressed;
    const runId = pressed.press.ids[0] ?? '';
    const cafeId = (await read(store, (tx) => runById(tx, runId)))?.cafe;
    if (cafeId === undefined) return { kind: 'gone' };
    return transact(store, [cafeId], async (tx): Promise<Told> => {
      const scene = await sceneOf(tx, runId);
      if (typeof scene === 'string') return { kind: scene };
      const before = progressOf(scene.run);
      if (before.state !== 'wrong' && before.state !== 'ended') return { kind: 'stale', version: await redraw(tx, runKey(runId), now, true) };
      if (before.state === 'wrong') await writeProgress(tx, runId, { ...before, state: 'paused', touched: now });
      const who: Finisher = { person: by.id, name: by.name };
      const posted = await wrong(tx, { ...told(scene.run, who, now), by, danger: false, step: before.at + 1 });
      return { kind: posted ? 'asked' : 'not-asked', version: await redraw(tx, runKey(runId), now, pressed.shown?.key === runKey(runId)) };
    });
  };

  const noteOf = (pressed: Pressed, what: Told, zone: string): Message | undefined => {
    const show = desk.show({ language: pressed.locale, zone }, pressed.locale);
    const { say } = show;
    switch (what.kind) {
      case 'moved':
      case 'stale':
      case 'asked':
        return undefined;
      case 'other':
        return message([say('cards.other', { name: what.run.doer_name, time: clockTime(what.run.started_at as Instant, show.reader) }), say('cards.other.thanks')], [button(say('cards.button.mine'), press('card.mine', what.run.id))]);
      case 'apart':
        return message([say('cards.apart', { name: what.by }), say('cards.apart.what', { head: headOf(show, what.card, what.group) })]);
      case 'stays-off':
        return message([say('cards.gate.stays-off'), say('cards.gate.stays-off.who')]);
      case 'late':
        return message([say('cards.too-late'), say('cards.too-late.next')]);
      case 'rewritten':
        return message([say('cards.rewritten')]);
      case 'gone':
        return message([say('cards.gone')]);
      case 'not-asked':
        return message([say('cards.questions.say')]);
    }
  };

  const answerTo = async (pressed: Pressed, what: Told, more?: Message, page?: number): Promise<Answer> => {
    const runId = pressed.press.ids[0] ?? '';
    const run = await read(store, async (tx) => {
      const row = await runById(tx, runId);
      return row && { zone: (await cafeById(tx, row.cafe))?.zone ?? 'UTC', version: (await tx.selectFrom('outbox').select('version').where('key', '=', runKey(runId)).executeTakeFirst())?.version };
    });
    const note = more ?? noteOf(pressed, what, run?.zone ?? 'UTC');
    const drawn = pressed.shown?.key === runKey(runId) ? await draw(runId, pressed.now, page) : undefined;
    if (pressed.shown?.kind === 'card.waited' && note === undefined) return { kind: 'redraw', message: message([words.in(pressed.locale)('cards.waited.done')]) };
    if (drawn && run?.version !== undefined) return { kind: 'redraw', message: drawn, shows: { key: runKey(runId), version: run.version }, ...(note ? { private: note } : {}) };
    return note ? { kind: 'noted', private: note } : { kind: 'noted' };
  };

  const pressAct = (what: (given: Press) => CardAct) => async (pressed: Pressed): Promise<Answer> => {
    const act1 = what(pressed.press);
    const result = await act(pressed, act1);
    return answerTo(pressed, result, act1.kind === 'danger' ? whichDanger?.(pressed.locale) : undefined);
  };

  /** Turning the page of the cautions changes nothing that is stored. */
  const pressCaution = (pressed: Pressed): Promise<Answer> => answerTo(pressed, { kind: 'stale', version: undefined }, undefined, Number(pressed.press.ids[2] ?? 0) || 0);

  const handTo = async (tx: Tx, { run, card, cafe }: Scene, person: PersonId, name: string, now: Instant): Promise<void> => {
    const doer = { doer_person: person, doer_name: name };
    const progress = handOver(card, progressOf(run), doerOf(doer), now);
    await writeProgress(tx, run.id, progress, doer);
    await setWait(tx, { run, card, cafe, machine: (await machineById(tx, run.machine)) as Machine }, progress, now);
    await redraw(tx, runKey(run.id), now);
  };

  /** What still has to be asked before somebody may take a card over; undefined: nothing. */
  const mineGate = (scene: Scene, room: Room | undefined, person: PersonId, chosen: string | undefined, locale: string): Message | undefined => {
    const say = words.in(locale);
    const { run, card } = scene;
    const marks = (room?.marks ?? []).filter(({ job }) => job === card.job);
    const marked = marks.filter(({ how }) => how === 'marked');
    if (card.training === 'none' || marked.some(({ id }) => room?.phone && id === chosen)) return undefined;
    if (card.training === 'asked') {
      const known = room?.phone === true || chosen === 'said' || marks.some((each) => each.person === person);
      return known ? undefined : message([say('cards.gate.before')], [button(say('cards.button.have'), press('card.mine', run.id, 'said')), button(say('cards.button.read'), press('card.read', run.cafe, card.job))]);
    }
    if (room?.phone && marked.length > 0) return message([say('cards.who')], ...nameRows(marked, run.id));
    if (!room?.phone && marked.some((each) => each.person === person)) return undefined;
    return message([say('cards.gate.shown')], [button(say('cards.button.read'), press('card.read', run.cafe, card.job))]);
  };

  /** Somebody else goes on: only who may begin this card may take it over, and the machine's state is asked anew. */
  const pressMine = async (pressed: Pressed): Promise<Answer> => {
    const [runId = '', chosen] = pressed.press.ids;
    const cafeId = (await read(store, (tx) => runById(tx, runId)))?.cafe;
    const say = words.in(pressed.locale);
    if (cafeId === undefined) return { kind: 'redraw', message: message([say('cards.gone')]) };
    const told1 = await transact(store, [cafeId], async (tx): Promise<Message> => {
      const scene = await sceneOf(tx, runId);
      if (typeof scene === 'string') return message([say(scene === 'gone' ? 'cards.gone' : 'cards.rewritten')]);
      if (scene.run.state === 'ended') return message([say('cards.over')]);
      const room = await desk.enter(tx, scene.run.cafe, scene.run.machine, pressed.by);
      const asks = mineGate(scene, room, pressed.by.id, chosen, pressed.locale);
      if (asks) return asks;
      if (chosen === 'said' && !room?.phone) await noteShown(tx, ids, pressed.now, { cafe: cafeId, job: scene.card.job, person: pressed.by.id, name: pressed.by.name, how: 'said', marked_by: pressed.by.id, marked_name: pressed.by.name });
      const mark = chosen === undefined || chosen === 'said' ? undefined : await shownById(tx, chosen);
      await handTo(tx, scene, pressed.by.id, mark?.name ?? pressed.by.name, pressed.now);
      return message([say('cards.mine')]);
    });
    return { kind: 'redraw', message: told1 };
  };

  /** On a shared account nobody knows who comes back to a cold machine: the name is asked again. */
  const pressGoOn = async (pressed: Pressed): Promise<Answer> => {
    const asks = await read(store, async (tx) => {
      const run = await runById(tx, pressed.press.ids[0] ?? '');
      const card = run && desk.cardOf(run);
      const cafe = run && (await cafeById(tx, run.cafe));
      return run !== undefined && cafe !== undefined && card?.training === 'marked' && run.doer_person === pressed.by.id && (await desk.isPhone(tx, cafe, pressed.by));
    });
    if (!asks) return pressAct(() => ({ kind: 'go-on' }))(pressed);
    const prompt = await pressMine({ ...pressed, press: press('card.mine', pressed.press.ids[0] ?? '') });
    return prompt.kind === 'redraw' ? { kind: 'noted', private: prompt.message } : prompt;
  };

  /** Left in pieces, and closed up since by whoever says so. */
  const pressWhole = async (pressed: Pressed): Promise<Answer> => {
    const runId = pressed.press.ids[0] ?? '';
    const say = words.in(pressed.locale);
    const cafeId = (await read(store, (tx) => runById(tx, runId)))?.cafe;
    if (cafeId === undefined) return { kind: 'private', message: message([say('cards.gone')]) };
    const done = await transact(store, [cafeId], async (tx) => {
      const run = await runById(tx, runId);
      if (run?.state !== 'ended') return false;
      await closedUp(tx, runId);
      await stopTimer(tx, `card.open.${runId}`);
      await redraw(tx, runKey(runId), pressed.now);
      return true;
    });
    return { kind: 'noted', private: message([say(done ? 'cards.whole' : 'cards.gone')]) };
  };

  const pressRinsed = async (pressed: Pressed): Promise<Answer> => {
    const runId = pressed.press.ids[0] ?? '';
    const cafeId = (await read(store, (tx) => runById(tx, runId)))?.cafe;
    const say = words.in(pressed.locale);
    if (cafeId === undefined) return { kind: 'redraw', message: message([say('cards.gone')]) };
    await transact(store, [cafeId], async (tx) => {
      const run = await runById(tx, runId);
      const card = run && book.cards.get(run.job);
      if (!run || run.residue === 0) return;
      await tx.updateTable('card_run').set({ residue: 0 }).where('id', '=', runId).execute();
      if (card && card.for !== 'bench') await setResidue(tx, run.machine, card.for === 'group' ? run.group_number : null, false, pressed.now);
      if (run.state === 'ended') await stopTimer(tx, `card.open.${runId}`);
      await redraw(tx, runKey(runId), pressed.now);
    });
    return { kind: 'redraw', message: message([say('cards.rinsed', { name: pressed.by.name })]) };
  };

  const on = (given: Press): number => Number(given.ids[1] ?? -1);
  const cafe = async (tx: Tx, given: Press): Promise<string | undefined> => (await runById(tx, given.ids[0] ?? ''))?.cafe;
  const route = (kind: string, take: PressRoute['take']): PressRoute => ({ kind, ack: 'update', right: 'answer', cafe, take });
  const moving = (kind: 'ready' | 'not-yet' | 'next' | 'back' | 'pause'): PressRoute => route(`card.${kind}`, pressAct((given) => ({ kind, on: on(given) })));

  return {
    draw,
    settle,
    presses: [
      moving('ready'), moving('not-yet'), moving('next'), moving('back'), moving('pause'),
      route('card.caution', pressCaution),
      route('card.answer', pressAct((given) => ({ kind: 'answer', on: on(given), answer: given.ids[2] ?? '' }))),
      route('card.go-on', pressGoOn),
      route('card.wrong', pressAct(() => ({ kind: 'wrong' }))),
      route('card.return', pressAct(() => ({ kind: 'return' }))),
      route('card.leave', pressAct(() => ({ kind: 'leave' }))),
      { ...route('card.danger', pressAct(() => ({ kind: 'danger' }))), right: 'anyone' },
      route('card.questions', async (pressed) => answerTo(pressed, await askQuestions(pressed))),
      route('card.mine', pressMine),
      route('card.whole', pressWhole),
      route('card.rinsed', pressRinsed),
    ],
    notices: [{ kind: 'card', show: ({ data, now }) => draw((data as { run: string }).run, now) }],
  };
};
