import { calendarOf } from '../cafe/calendar.ts';
import { isOpenAt, nextOpening } from '../cafe/hours.ts';
import { cafeById, machineById } from '../cafe/records.ts';
import type { NoticeKind, TimerKind } from '../cafe/subject.ts';
import { button, line, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { placeId } from '../chat/who.ts';
import { post, redraw } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { setTimer } from '../store/timers.ts';
import { read } from '../store/transact.ts';
import { hours, instant, later, minutes, type Instant } from '../time/instant.ts';
import { clockTime } from '../words/format.ts';
import { LAPSES, runKey, type Desk } from './card-desk.ts';
import { loudAt } from './card-fit.ts';
import { figuresOf, progressOf, runById, type CardRun } from './card-records.ts';
import type { Running } from './card-run.ts';
import { headOf } from './card-lines.ts';
import { screensOf, type Progress } from './job-card.ts';

export type Alarms = { readonly notices: readonly NoticeKind[]; readonly timers: readonly TimerKind[] };

/** What is told loudly: the machine in pieces, or detergent left behind; a card at rest with neither is simply over. */
const isPressing = (run: Pick<CardRun, 'apart' | 'residue'>): boolean => run.apart === 1 || run.residue === 1;

/** An opening so near is the one that was just told of. */
const SAME_OPENING = hours(2);

/** The calls of cards in progress: the end of a wait, and what is still open before the door is. */
export const createAlarms = (desk: Desk, running: Running): Alarms => {
  const { store, ids } = desk.needs;

  const lapse = async (tx: Tx, run: CardRun, now: Instant): Promise<void> => {
    const card = desk.cardOf(run);
    const cafe = await cafeById(tx, run.cafe);
    if (!card || !cafe || run.state === 'ended') return;
    const over: Progress = { ...progressOf(run), state: 'ended', result: 'left', assured: null, goesTo: null, touched: now };
    await running.settle(tx, run, card, cafe, over, { person: null, name: run.doer_name }, now);
    await redraw(tx, runKey(run.id), now);
  };

  /** Still open before opening: said to everyone at the bar, once for each opening. */
  const shout = async (tx: Tx, run: CardRun, now: Instant): Promise<void> => {
    const cafe = await cafeById(tx, run.cafe);
    const place = cafe?.place ?? run.place;
    await post(tx, ids, now, {
      key: `card.loud.${run.id}.${now}`, cafe: run.cafe, place: placeId(place), kind: 'card.loud', data: { run: run.id }, priority: 'danger', notAfter: later(now, hours(12)),
      ...(cafe?.bar_role && cafe.place !== null ? { notifyRoles: [cafe.bar_role] } : {}),
    });
    const card = desk.cardOf(run);
    const machine = await machineById(tx, run.machine);
    const calendar = cafe && calendarOf(cafe);
    if (!card || !machine || !calendar) return;
    const opens = nextOpening(calendar, later(now, SAME_OPENING));
    const at = loudAt(card, opens, now, figuresOf(cafe, machine));
    if (at !== null) await setTimer(tx, ids, now, { key: `card.open.${run.id}`, cafe: run.cafe, kind: 'card.open', ref: run.id, at });
  };

  const loudMessage = (runId: string, now: Instant): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const run = await runById(tx, runId);
      const cafe = run && (await cafeById(tx, run.cafe));
      const card = run && desk.cardOf(run);
      if (!run || !cafe || !card || !isPressing(run)) return undefined;
      const show = desk.show(cafe);
      const { say, reader } = show;
      const head = headOf(show, card, run.group_number);
      const calendar = calendarOf(cafe);
      const next = calendar && !isOpenAt(calendar, now) ? nextOpening(calendar, now) : null;
      const opens = next === null ? [] : [line(say('cards.loud.opens', { time: clockTime(next, reader) }))];
      const where = say('cards.loud.where', { name: run.doer_name, n: (run.go_to ?? run.screen) + 1, m: screensOf(card).length });
      const mine = run.state === 'ended' ? [] : [button(say('cards.button.mine'), press('card.mine', run.id))];
      if (run.apart === 1) {
        const whole = run.state === 'ended' ? [button(say('cards.button.whole'), press('card.whole', run.id))] : [];
        return message([line(say('cards.loud.apart', { head }), 'danger'), ...opens, where, say(card.for === 'grinder' ? 'cards.loud.plug' : 'cards.loud.off')], ...[[...mine, ...whole]].filter((row) => row.length > 0));
      }
      return message([line(say('cards.loud.residue', { head }), 'danger'), ...opens, where, say('cards.loud.rinse')], [button(say('cards.button.rinsed'), press('card.rinsed', run.id), 'main'), ...mine]);
    });

  const waited = (runId: string, at: number): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const run = await runById(tx, runId);
      const cafe = run && (await cafeById(tx, run.cafe));
      const card = run && desk.cardOf(run);
      // Gone on meanwhile: nobody needs the call.
      if (!run || !cafe || !card || run.state !== 'on' || run.screen !== at) return undefined;
      const show = desk.show(cafe);
      return message([show.say('cards.waited', { head: headOf(show, card, run.group_number) })], [button(show.say('cards.button.next'), press('card.next', runId, String(at)), 'main')]);
    });

  return {
    notices: [
      { kind: 'card.loud', show: ({ data, now }) => loudMessage((data as { run: string }).run, now) },
      { kind: 'card.waited', show: ({ data }) => waited((data as { run: string }).run, (data as { at: number }).at) },
    ],
    timers: [
      {
        kind: 'card.open',
        fire: async (tx, { key, ref }, now) => {
          const run = await runById(tx, ref);
          if (!run) return;
          const lapses = later(instant(run.touched_at), LAPSES);
          if (isPressing(run)) await shout(tx, run, now);
          else if (lapses <= now) await lapse(tx, run, now);
          else await setTimer(tx, ids, now, { key, cafe: run.cafe, kind: 'card.open', ref, at: lapses });
        },
      },
      {
        kind: 'card.wait',
        fire: async (tx, { ref }, now) => {
          const [runId = '', at = ''] = ref.split(' ');
          const run = await runById(tx, runId);
          if (run?.state !== 'on' || run.screen !== Number(at)) return;
          await post(tx, ids, now, { key: `card.waited.${runId}.${at}.${now}`, cafe: run.cafe, place: placeId(run.place), kind: 'card.waited', data: { run: runId, at: Number(at) }, priority: 'answer', notAfter: later(now, minutes(90)) });
        },
      },
    ],
  };
};
