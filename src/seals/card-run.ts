import { calendarOf } from '../cafe/calendar.ts';
import { isOpenAt } from '../cafe/hours.ts';
import { cafeById, machineById, type Cafe } from '../cafe/records.ts';
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
import { complaintsAt, stateAt } from './card-complaints.ts';
import { runKey, type CardFinished, type CardWrong, type Desk } from './card-desk.ts';
import { DETERGENT_STANDS, fits, heatMinutes } from './card-fit.ts';
import { keepAway } from './card-gate.ts';
import { createHands } from './card-hands.ts';
import { noteParts } from './card-parts.ts';
import { createLeft } from './card-left.ts';
import { apartRuns, doerOf, figuresOf, progressOf, recordCheck, runById, setResidue, writeProgress, type CardRun } from './card-records.ts';
import { createScenes, type Scene } from './card-scene.ts';
import { headOf } from './card-lines.ts';
import { cardMessage, waitUntil } from './card-views.ts';
import type { Card } from './cards-config.ts';
import { isCooled, move, screenAt, type CardAct, type Progress } from './job-card.ts';

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

/** What leads further into the work; to stop, to pause and to call for help stay possible. */
const GOES_ON: ReadonlySet<CardAct['kind']> = new Set(['ready', 'next', 'go-on', 'return']);

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

/** Begins to open the machine when there is no more time to close it and heat it before the door opens. */
const opensTooLate = ({ card, cafe, machine }: Scene, progress: Progress, act: CardAct, now: Instant): boolean => {
  const screen = screenAt(card, progress.at);
  if (act.kind !== 'ready' || screen.kind !== 'block' || progress.apart || !isCooled(card.parts[screen.part])) return false;
  return fits(card, calendarOf(cafe), now, { ...figuresOf(cafe, machine), cool: 0, offAtNight: 'yes' }).kind !== 'fits';
};

export const createRunning = (desk: Desk, again: Again): Running => {
  const { store, words, ids, book, finished, wrong, complaints, whichDanger } = desk.needs;
  const { sceneOf, setWait } = createScenes(desk);
  const hands = createHands(desk);
  const left = createLeft(desk);

  const draw: Running['draw'] = (runId, now, page) =>
    read(store, async (tx) => {
      const run = await runById(tx, runId);
      const shown = run && (await desk.viewOf(tx, run, now));
      return shown && cardMessage(desk.show(shown.cafe), shown.view, page);
    });

  const told = (run: CardRun, by: Finisher, now: Instant): Omit<CardFinished, 'result' | 'answer' | 'when'> => ({
    cardRun: run.id, job: run.for_job, card: run.job, cafe: run.cafe, machine: run.machine, group: run.group_number, caseId: run.case_id, place: placeId(run.place), by, now,
  });

  /** What is known where somebody stops. */
  const stoppedAt = ({ run, card, cafe }: Scene, by: Pressed['by'], now: Instant): Omit<CardWrong, 'danger' | 'failed'> => {
    const progress = progressOf(run);
    return { ...told(run, { person: by.id, name: by.name }, now), by, step: progress.at + 1, head: headOf(desk.show(cafe), card, run.group_number), complaints: complaintsAt(complaints, card, progress), state: stateAt(card, progress) };
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
    if (result === 'cured' || result === 'better' || result === 'same') await noteParts(tx, ids, run, { person: by.person, name: by.name }, now);
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
      if (keepAway(machine) && GOES_ON.has(what.kind)) return { kind: 'stays-off' };
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
        if (what.kind === 'danger') await wrong(tx, { ...stoppedAt({ run, card, cafe, machine }, by, now), danger: true, failed: false });
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
      const asked = await wrong(tx, { ...stoppedAt(scene, by, now), danger: false, failed: before.state === 'ended' });
      if (asked !== null && scene.run.case_id === null) await tx.updateTable('card_run').set({ case_id: asked }).where('id', '=', runId).execute();
      return { kind: asked === null ? 'not-asked' : 'asked', version: await redraw(tx, runKey(runId), now, pressed.shown?.key === runKey(runId)) };
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
      route('card.go-on', (pressed) => hands.goOn(pressed, pressAct(() => ({ kind: 'go-on' })))),
      route('card.wrong', pressAct(() => ({ kind: 'wrong' }))),
      route('card.return', pressAct(() => ({ kind: 'return' }))),
      route('card.leave', pressAct(() => ({ kind: 'leave' }))),
      { ...route('card.danger', pressAct(() => ({ kind: 'danger' }))), right: 'anyone' },
      route('card.questions', async (pressed) => answerTo(pressed, await askQuestions(pressed))),
      route('card.mine', hands.mine),
      route('card.whole', left.whole),
      route('card.rinsed', left.rinsed),
    ],
    notices: [{ kind: 'card', show: ({ data, now }) => draw((data as { run: string }).run, now) }],
  };
};
