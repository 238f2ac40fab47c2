import { calendarOf } from '../cafe/calendar.ts';
import type { CafeHours } from '../cafe/hours.ts';
import { momentOnDay } from '../cafe/hours-moments.ts';
import { cafeById, groupsOf } from '../cafe/records.ts';
import type { NoticeKind, Pressed, PressRoute, TimerKind } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message } from '../chat/message.ts';
import { placeId } from '../chat/who.ts';
import { post, redraw } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { setTimer } from '../store/timers.ts';
import { read, transact } from '../store/transact.ts';
import { instant, type Instant } from '../time/instant.ts';
import { dayAt, localTime } from '../time/wall-time.ts';
import { driftPictureOf } from './drift-picture.ts';
import { LOOK_OUT, lookKey, type LookDesk } from './look-desk.ts';
import { valueOf, type LookStep } from './look-steps.ts';
import { correctMessage, dueMessage, fixMessage, gravestFirst, outMessage, planMessage, plannedMessage, seenText, whyMessage } from './look-views.ts';
import { lookFound } from './record-chances.ts';
import { readVerdict } from './record-verdict.ts';
import { insertPlan, insertReading, lookById, noteCase, planById, readingById, readingsOfLook, supersedeReading, verdictsOf, type Look } from './records.ts';

/** Before switching on, early enough to heat up after the change: a change and a warm-up together. Assumed. */
const BEFORE_OPENING_MINUTES = 90;

/** The next two mornings on which the machine is cold. */
const coldTimes = (calendar: CafeHours | null, now: Instant): readonly Instant[] => {
  if (!calendar) return [];
  const { day } = dayAt(now, calendar.zone);
  return [0, 1, 2, 3, 4, 5, 6, 7]
    .flatMap((ahead) => momentOnDay(calendar, day + ahead, { kind: 'cold', minutes: BEFORE_OPENING_MINUTES, onClosedDay: localTime('10:00') }) ?? [])
    .filter((at) => at > now)
    .slice(0, 2);
};

/** What can be asked and done about the verdicts of a look. */
export const createAfterLook = (desk: LookDesk, ofLook: NonNullable<PressRoute['cafe']>) => {
  const { store, words, ids } = desk.needs;

  const gone = (pressed: Pressed): Answer => ({ kind: 'private', message: message([words.in(pressed.locale)('look.gone')]) });

  const withLook = async (pressed: Pressed, work: (tx: Tx, look: Look, found: NonNullable<Awaited<ReturnType<LookDesk['placeOf']>>>) => Promise<Answer>): Promise<Answer> => {
    const id = pressed.press.ids[0] ?? '';
    const cafe = (await read(store, (tx) => lookById(tx, id)))?.cafe;
    if (cafe === undefined) return gone(pressed);
    return transact(store, [cafe], async (tx) => {
      const look = await lookById(tx, id);
      const found = look && (await desk.placeOf(tx, look));
      return look && found ? work(tx, look, found) : gone(pressed);
    });
  };

  const why = (pressed: Pressed): Promise<Answer> =>
    withLook(pressed, async (tx, look, { cafe, machine }) => {
      const view = await desk.resultOf(tx, look);
      const show = desk.show(cafe, pressed.locale);
      const group = gravestFirst(view.verdicts)[0]?.group;
      const now = group === undefined ? undefined : await desk.reckoner.groupNow(tx, cafe, machine, group, pressed.now);
      return { kind: 'private', message: whyMessage(show, view, now ? driftPictureOf(show, now, desk.needs.constants, pressed.now) : []) };
    });

  const correct = (pressed: Pressed): Promise<Answer> =>
    withLook(pressed, async (tx, look, { cafe }) => {
      const readings = (await readingsOfLook(tx, look.id)).map(({ id, group_number, what, value }) => ({ id, group: group_number, what, value }));
      return { kind: 'private', message: correctMessage(desk.show(cafe, pressed.locale), look.id, readings) };
    });

  const which = (pressed: Pressed): Promise<Answer> =>
    withLook(pressed, async (tx, look, { cafe }) => {
      const row = await readingById(tx, pressed.picked[0] ?? '');
      if (!row || row.look !== look.id) return { kind: 'redraw', message: message([words.in(pressed.locale)('look.gone')]) };
      return { kind: 'redraw', message: fixMessage(desk.show(cafe, pressed.locale), look.id, { id: row.id, what: row.what, group: row.group_number }) };
    });

  /** The old answer stays in the record below the new one; the verdict is reached anew and shown where it stands. */
  const fix = (pressed: Pressed): Promise<Answer> =>
    withLook(pressed, async (tx, look, { cafe, machine }) => {
      const [, reading = '', word = ''] = pressed.press.ids;
      const row = await readingById(tx, reading);
      const value = row && valueOf(row.what as LookStep, word);
      if (!row || row.look !== look.id || row.superseded_by !== null || value === undefined) return { kind: 'redraw', message: message([words.in(pressed.locale)('look.fixed-already')]) };
      const id = ids(pressed.now);
      await insertReading(tx, { ...row, id, value, by_person: pressed.by.id, by_name: pressed.by.name, superseded_by: null });
      await supersedeReading(tx, row.id, id);
      await desk.settle(tx, look, cafe, machine, row.group_number, pressed.now);
      await redraw(tx, lookKey(look.id), pressed.now);
      return { kind: 'redraw', message: message([words.in(pressed.locale)('look.fixed', { group: row.group_number })]) };
    });

  const plan = (pressed: Pressed): Promise<Answer> =>
    withLook(pressed, async (tx, look, { cafe, machine }) => {
      const group = Number(pressed.press.ids[1]);
      const verdict = await desk.verdictOf(tx, look.id, group);
      const ready = await desk.readyFor(tx, cafe, await desk.reckoner.groupNow(tx, cafe, machine, group, pressed.now), pressed.locale);
      return verdict ? { kind: 'private', message: planMessage(desk.show(cafe, pressed.locale), look.id, verdict, coldTimes(calendarOf(cafe), pressed.now), ready) } : gone(pressed);
    });

  const planAt = (pressed: Pressed): Promise<Answer> =>
    withLook(pressed, async (tx, look, { cafe, machine }) => {
      const [, number = '', when = ''] = pressed.press.ids;
      const group = Number(number);
      const due = Number.parseInt(when, 36);
      if (!Number.isSafeInteger(due) || due <= pressed.now) return { kind: 'redraw', message: message([words.in(pressed.locale)('look.plan.past')]) };
      const id = ids(pressed.now);
      await insertPlan(tx, { id, cafe: cafe.id, machine: machine.id, group_number: group, due_at: due, state: 'planned', by_person: pressed.by.id, by_name: pressed.by.name, at: pressed.now });
      await setTimer(tx, ids, pressed.now, { key: `seal.plan.${machine.id}.${group}`, cafe: cafe.id, kind: 'seal.plan', ref: id, at: instant(due) });
      return { kind: 'redraw', message: plannedMessage(desk.show(cafe, pressed.locale), group, due) };
    });

  /** The case is opened once for a verdict; asked again, its booking goes on. */
  const book = async (pressed: Pressed): Promise<Answer> => {
    const opened = await caseOf(pressed);
    return opened === undefined ? gone(pressed) : desk.needs.askBooking(pressed, opened);
  };

  const caseOf = async (pressed: Pressed): Promise<string | undefined> => {
    const [id = '', number = ''] = pressed.press.ids;
    const known = await read(store, (tx) => lookById(tx, id));
    return known && transact(store, [known.cafe], async (tx) => {
      const look = await lookById(tx, id);
      const found = look && (await desk.placeOf(tx, look));
      const row = (await verdictsOf(tx, id)).find(({ group_number }) => group_number === Number(number));
      if (!look || !found || !row) return undefined;
      const verdict = readVerdict(row.verdict);
      if (verdict.caseId !== undefined) return verdict.caseId;
      const text = seenText(desk.show(found.cafe), { group: row.group_number, verdict, at: instant(row.at) });
      const caseId = await desk.needs.caseFor(tx, { ...lookFound(await desk.reckoner.groupNow(tx, found.cafe, found.machine, row.group_number, pressed.now), verdict, pressed.now), cafe: look.cafe, machine: look.machine, group: row.group_number, text, place: found.cafe.place ?? pressed.at, by: pressed.by }, pressed.now);
      await noteCase(tx, row.id, JSON.stringify({ ...verdict, caseId }));
      return caseId;
    });
  };

  const out: NoticeKind = {
    kind: LOOK_OUT,
    show: ({ data }) =>
      read(store, async (tx) => {
        const { look: id, group } = data as { look: string; group: number };
        const look = await lookById(tx, id);
        const found = look && (await desk.placeOf(tx, look));
        const verdict = look && (await desk.verdictOf(tx, id, group));
        if (!look || !found || !verdict) return undefined;
        const groups = await groupsOf(tx, look.machine);
        const back = groups.every(({ number, state }) => number !== group || state !== 'out of use');
        return outMessage(desk.show(found.cafe), id, verdict, { name: look.by_name, at: verdict.at, groups: groups.length, back });
      }),
  };

  const planNot = async (pressed: Pressed): Promise<Answer> => ({ kind: 'redraw', message: message([words.in(pressed.locale)('look.plan.not')]) });

  const timer: TimerKind = {
    kind: 'seal.plan',
    fire: async (tx, { ref, cafe: id }, now) => {
      const cafe = id === null ? undefined : await cafeById(tx, id);
      const row = await planById(tx, ref);
      if (cafe?.place && row?.state === 'planned') await post(tx, ids, now, { key: `seal.plan.${ref}`, cafe: cafe.id, place: placeId(cafe.place), kind: 'seal.plan', data: { plan: ref }, priority: 'reminder' });
    },
  };

  const due: NoticeKind = {
    kind: 'seal.plan',
    show: ({ data, now }) =>
      read(store, async (tx) => {
        const row = await planById(tx, (data as { plan: string }).plan);
        const found = row && (await desk.placeOf(tx, row));
        if (!row || row.state !== 'planned' || !found) return undefined;
        const group = await desk.reckoner.groupNow(tx, found.cafe, found.machine, row.group_number, now);
        return dueMessage(desk.show(found.cafe), { cafe: row.cafe, group: row.group_number, size: group?.next }, await desk.readyFor(tx, found.cafe, group));
      }),
  };

  const route = (kind: string, ack: PressRoute['ack'], take: PressRoute['take']): PressRoute => ({ kind, ack, right: 'answer', cafe: ofLook, take });

  return {
    presses: [
      route('look.why', 'private', why), route('look.correct', 'private', correct), route('look.which', 'update', which), route('look.fix', 'update', fix),
      route('look.plan', 'private', plan), route('look.plan-at', 'update', planAt), route('look.plan-not', 'update', planNot), route('look.book', 'private', book),
    ],
    notices: [due, out],
    timers: [timer],
  };
};
