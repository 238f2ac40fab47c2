import { calendarOf } from '../cafe/calendar.ts';
import { isOpenAt, nextOpening } from '../cafe/hours.ts';
import { afterRush, momentOnDay } from '../cafe/hours-moments.ts';
import { quietHour } from '../cafe/live.ts';
import { cafeById, type Cafe } from '../cafe/records.ts';
import type { NoticeKind, Pressed, PressRoute, TimerKind } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, line, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { placeId } from '../chat/who.ts';
import { post, redraw } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { setTimer } from '../store/timers.ts';
import { read, transact } from '../store/transact.ts';
import { hours, instant, later, minutes, type Instant } from '../time/instant.ts';
import { dayAt } from '../time/wall-time.ts';
import { clockTime, weekday } from '../words/format.ts';
import { whoIs, type Desk } from './card-desk.ts';
import { recordCheck, runById, type CardRun } from './card-records.ts';
import { answerText, headOf } from './card-lines.ts';
import type { AgainWhen, Card } from './cards-config.ts';

export type Again = {
  /** Plans the later checks of a card that has just ended well enough to be looked at again. */
  readonly plan: (tx: Tx, run: CardRun, card: Card, cafe: Cafe, now: Instant) => Promise<void>;
  readonly presses: readonly PressRoute[];
  readonly notices: readonly NoticeKind[];
  readonly timers: readonly TimerKind[];
};

/** Two shots are drawn in about this time while the café is open. Assumed. */
const TWO_SHOTS = minutes(20);
const SOON = hours(1);

const keyOf = (run: string, when: string): string => `card.again.${run}.${when}`;

/** The next quiet hour that is at least an hour away. */
const nextQuiet = (cafe: Cafe, now: Instant): Instant => {
  const calendar = calendarOf(cafe);
  const today = calendar && momentOnDay(calendar, dayAt(now, cafe.zone).day, { kind: 'quiet' });
  return today !== null && today >= later(now, SOON) ? today : quietHour(cafe, now, 1);
};

/** When a check is asked again, in the café's own hours. */
export const againAt = (cafe: Cafe, when: AgainWhen, now: Instant): Instant => {
  const calendar = calendarOf(cafe);
  switch (when) {
    case 'two-shots': {
      const opens = calendar && !isOpenAt(calendar, now) ? nextOpening(calendar, now) : null;
      const at = later(opens ?? now, TWO_SHOTS);
      return calendar ? afterRush(calendar, at) : at;
    }
    case 'quiet':
      return nextQuiet(cafe, now);
    case 'week':
      return quietHour(cafe, now, 7);
  }
};

export const createAgain = (desk: Desk): Again => {
  const { store, words, ids, finished } = desk.needs;

  const againOf = (run: CardRun, when: string) => desk.cardOf(run)?.again.find((each) => each.when === when);

  const draw = (runId: string, when: string): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const run = await runById(tx, runId);
      const cafe = run && (await cafeById(tx, run.cafe));
      const card = run && desk.cardOf(run);
      const again = run && againOf(run, when);
      if (!run || !cafe || !card || !again) return undefined;
      const show = desk.show(cafe);
      const { say, reader } = show;
      const head = headOf(show, card, run.group_number);
      const told = await tx.selectFrom('card_check').selectAll().where('run', '=', runId).where('asked_when', '=', when).executeTakeFirst();
      // In a case its own questions go on, opened again where it was closed as cured.
      const asks = told?.leads === 'same' ? [[button(say('cards.button.questions'), run.case_id === null ? press('card.questions', runId) : press('case.still', run.case_id, 'back'))]] : [];
      const book = told?.leads === 'book' ? [[button(say('cards.button.book'), press('card.book', runId), 'main')]] : [];
      if (told) return message([line(say('cards.again.told', { head, answer: answerText(show, told.answer), time: clockTime(instant(told.at), reader) }), 'strong'), say(`cards.again.${told.leads}`, { name: told.by_name })], ...asks, ...book);
      const done = instant(run.ended_at ?? run.touched_at);
      return message(
        [line(say(`cards.${card.job}.again`, { group: run.group_number ?? 0 }), 'strong'), line(say('cards.again.done', { title: say(`cards.${card.job}.title`), day: weekday(done, reader), time: clockTime(done, reader), name: run.doer_name }), 'quiet')],
        again.answers.map(({ id }) => button(answerText(show, id), press('card.still', runId, when, id))),
      );
    });

  const pressStill = async (pressed: Pressed): Promise<Answer> => {
    const [runId = '', when = '', answerId = ''] = pressed.press.ids;
    const cafe = (await read(store, (tx) => runById(tx, runId)))?.cafe;
    const say = words.in(pressed.locale);
    if (cafe === undefined) return { kind: 'private', message: message([say('cards.gone')]) };
    const version = await transact(store, [cafe], async (tx) => {
      const run = await runById(tx, runId);
      const answer = run && againOf(run, when)?.answers.find(({ id }) => id === answerId);
      if (!run || !answer || typeof answer.leads === 'object') return undefined;
      const { now } = pressed;
      await recordCheck(tx, { id: ids(now), run: runId, cafe: run.cafe, job: run.job, machine: run.machine, group_number: run.group_number, asked_when: when, answer: answer.id, leads: answer.leads, by_person: pressed.by.id, by_name: pressed.by.name, at: now });
      await finished(tx, {
        cardRun: runId, job: run.for_job, card: run.job, cafe: run.cafe, machine: run.machine, group: run.group_number, caseId: run.case_id, result: answer.leads, answer: answer.id,
        when: when as AgainWhen, place: placeId(run.place), by: whoIs(pressed.by), now,
      });
      return redraw(tx, keyOf(runId, when), now, true);
    });
    const drawn = await draw(runId, when);
    return drawn ? { kind: 'redraw', message: drawn, ...(version === undefined ? {} : { shows: { key: keyOf(runId, when), version } }) } : { kind: 'private', message: message([say('cards.gone')]) };
  };

  return {
    plan: async (tx, run, card, cafe, now) => {
      // A case asks again by itself, in the quiet hour and after a week.
      for (const { when } of card.again.filter((again) => run.case_id === null || again.when === 'two-shots'))
        await setTimer(tx, ids, now, { key: keyOf(run.id, when), cafe: run.cafe, kind: 'card.again', ref: `${run.id} ${when}`, at: againAt(cafe, when, now) });
    },
    presses: [{ kind: 'card.still', ack: 'update', right: 'answer', cafe: async (tx, given) => (await runById(tx, given.ids[0] ?? ''))?.cafe, take: pressStill }],
    notices: [{ kind: 'card.again', show: ({ data }) => draw((data as { run: string }).run, (data as { when: string }).when) }],
    timers: [
      {
        kind: 'card.again',
        fire: async (tx, { ref }, now) => {
          const [runId = '', when = ''] = ref.split(' ');
          const run = await runById(tx, runId);
          if (!run || !againOf(run, when)) return;
          await post(tx, ids, now, { key: keyOf(runId, when), cafe: run.cafe, place: placeId(run.place), kind: 'card.again', data: { run: runId, when }, priority: 'other', silent: true, notAfter: later(now, hours(12)) });
        },
      },
    ],
  };
};
