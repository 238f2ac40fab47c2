import { quietHour } from '../cafe/live.ts';
import { cafeById, type Cafe } from '../cafe/records.ts';
import type { NoticeKind, TimerKind } from '../cafe/subject.ts';
import { button, message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { personId, placeId } from '../chat/who.ts';
import { closeDialogue, openDialogue } from '../store/dialogue.ts';
import { post } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { setTimer, stopTimer } from '../store/timers.ts';
import { read } from '../store/transact.ts';
import { days, hours, later, type Instant } from '../time/instant.ts';
import { again, type Desk } from './ask-desk.ts';
import { caseName } from './ask-view.ts';
import { cameBack } from './learn.ts';
import { bare, caseById, changeCase, insertCase, nearestOf, readingsOf, shownOf, type CaseRecord } from './records.ts';
import type { Verdict } from './verdict.ts';

/** Asked about once in a quiet hour; a day later it is closed by itself. */
const NUDGED_STEPS: readonly string[] = ['where', 'group', 'ask', 'change', 'paused'];

const nextQuiet = (cafe: Cafe, now: Instant): Instant => {
  const today = quietHour(cafe, now, 0);
  return today > later(now, hours(1)) ? today : quietHour(cafe, now, 1);
};

/** How a case ends, is asked about once more, comes back, or is left lying. */
export const createEnding = (desk: Desk) => {
  const { needs, changeIn, postCase, refreshAt } = desk;
  const { store, words, ids } = needs;

  /** What else was told in the same sentence is asked about once the first is settled. */
  const beginSecond = async (tx: Tx, row: CaseRecord, now: Instant): Promise<void> => {
    const [symptom, ...rest] = row.symptom === null ? [] : nearestOf(row);
    if (symptom === undefined) return;
    await changeCase(tx, row.id, { nearest: '[]' });
    const id = ids(now);
    const second: CaseRecord = { ...row, id, group_number: null, group_asked: 0, step: 'ask', state: 'open', symptom, nearest: JSON.stringify(rest), shown: '[]', readings: '[]', question: null, verdict: null, machine_state: null, opened_at: now, updated_at: now, closed_at: null, rev: 0 };
    await insertCase(tx, second);
    await changeCase(tx, id, await desk.advance(tx, second, now));
    const stored = await caseById(tx, id);
    if (!stored) return;
    const place = placeId(shownOf(row).at(-1)?.place ?? row.place);
    await postCase(tx, stored, place, now);
    await openDialogue(tx, ids, now, place, personId(row.asker), { kind: 'case', ref: id, cafe: row.cafe });
    await remind(tx, stored, now);
  };

  const closing = async (tx: Tx, row: CaseRecord, now: Instant, how: string): Promise<Partial<CaseRecord>> => {
    for (const { place } of shownOf(row)) await closeDialogue(tx, placeId(place), 'case');
    await stopTimer(tx, `case.nudge.${row.id}`);
    await beginSecond(tx, row, now);
    if (how !== 'fixed') return { step: 'closed', state: 'closed', closed_at: now, nearest: '[]' };
    await needs.fixed?.(tx, row.id, now);
    const cafe = await cafeById(tx, row.cafe);
    const verdict = row.verdict === null ? undefined : (JSON.parse(row.verdict) as Verdict);
    if (cafe && verdict?.kind !== 'nothing-wrong') {
      await setTimer(tx, ids, now, { key: `case.check.${row.id}`, cafe: row.cafe, kind: 'case.check', ref: row.id, at: nextQuiet(cafe, now) });
      await setTimer(tx, ids, now, { key: `case.week.${row.id}`, cafe: row.cafe, kind: 'case.check', ref: row.id, at: quietHour(cafe, now, 7) });
    }
    return { step: 'closed', state: 'fixed', closed_at: now, nearest: '[]' };
  };

  /** Goes on with all that is known; what seemed a cure did not last and is reckoned as none. */
  const reopened = async (tx: Tx, row: CaseRecord): Promise<Partial<CaseRecord>> => {
    await stopTimer(tx, `case.check.${row.id}`);
    await stopTimer(tx, `case.week.${row.id}`);
    const told = readingsOf(row);
    const readings = cameBack(told.map(bare)).map((reading, i) => ({ ...told[i], ...reading }));
    return { ...(row.symptom === null ? {} : again), readings: JSON.stringify(readings), state: 'came back', closed_at: null };
  };

  /** One question in the next quiet hour, should the case be left half answered. What nobody named is not asked about: it lapses. */
  const remind = async (tx: Tx, row: CaseRecord, now: Instant): Promise<void> => {
    if (row.symptom === null) return setTimer(tx, ids, now, { key: `case.drop.${row.id}`, cafe: row.cafe, kind: 'case.drop', ref: row.id, at: later(now, days(1)) });
    const cafe = await cafeById(tx, row.cafe);
    if (cafe) await setTimer(tx, ids, now, { key: `case.nudge.${row.id}`, cafe: row.cafe, kind: 'case.nudge', ref: row.id, at: nextQuiet(cafe, now) });
  };

  const isLeft = (row: CaseRecord | undefined): row is CaseRecord => row !== undefined && row.symptom !== null && row.closed_at === null && NUDGED_STEPS.includes(row.step);
  const isUnnamed = (row: CaseRecord | undefined): row is CaseRecord => row !== undefined && row.symptom === null && row.closed_at === null;

  const show = (kind: string, wanted: (row: CaseRecord) => boolean, draw: (say: ReturnType<typeof words.in>, row: CaseRecord, what: string) => ReturnType<typeof message>): NoticeKind => ({
    kind,
    show: ({ data }) =>
      read(store, async (tx) => {
        const row = await caseById(tx, (data as { case: string }).case);
        const cafe = row && (await cafeById(tx, row.cafe));
        if (!row || !cafe || !wanted(row)) return undefined;
        const say = words.in(cafe.language);
        return draw(say, row, caseName({ say, locale: cafe.language }, { symptom: row.symptom, group: row.group_number }));
      }),
  });

  const notices: readonly NoticeKind[] = [
    show('case.check', ({ state }) => state === 'fixed', (say, { id }, what) => message([say('ask.check.quiet', { what })], [button(say('ask.button.still-good'), press('case.still', id, 'good'), 'main'), button(say('ask.button.again'), press('case.still', id, 'back'))])),
    show('case.nudge', isLeft, (say, { id }, what) => message([say('ask.nudge', { what })], [button(say('ask.button.carry-on'), press('case.on', id), 'main'), button(say('ask.button.drop'), press('case.end', id, 'left'))])),
  ];

  const told = async (tx: Tx, row: CaseRecord, kind: 'case.check' | 'case.nudge', now: Instant): Promise<void> => {
    const place = placeId(kind === 'case.nudge' ? row.place : (shownOf(row).find(({ place: at }) => !at.startsWith('p.'))?.place ?? row.place));
    await post(tx, ids, now, { key: `${kind}.${row.id}.${now}`, cafe: row.cafe, place, kind, data: { case: row.id }, priority: 'other', silent: true, notAfter: later(now, days(1)) });
  };

  const timers: readonly TimerKind[] = [
    {
      kind: 'case.check',
      fire: async (tx, { ref }, now) => {
        const row = await caseById(tx, ref);
        if (row?.state === 'fixed') await told(tx, row, 'case.check', now);
      },
    },
    {
      kind: 'case.nudge',
      fire: async (tx, { ref }, now) => {
        const row = await caseById(tx, ref);
        if (!isLeft(row)) return;
        await told(tx, row, 'case.nudge', now);
        await setTimer(tx, ids, now, { key: `case.drop.${ref}`, cafe: row.cafe, kind: 'case.drop', ref, at: later(now, days(1)) });
      },
    },
    {
      kind: 'case.drop',
      fire: async (tx, { ref }, now) => {
        const row = await caseById(tx, ref);
        if ((isLeft(row) || isUnnamed(row)) && row.updated_at <= later(now, -days(1))) await changeIn(tx, ref, now, undefined, (at, open) => closing(at, open, now, 'left'));
      },
    },
  ];

  return { closing, reopened, remind, beginSecond, notices, timers, refreshAt };
};

export type Ending = ReturnType<typeof createEnding>;
