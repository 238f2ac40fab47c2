import { calendarOf } from '../cafe/calendar.ts';
import type { Moment } from '../cafe/hours-moments.ts';
import { cafeById, membersOf, type Cafe } from '../cafe/records.ts';
import { informed, type ReadRequest } from '../cafe/requests.ts';
import { mayIn } from '../cafe/rights.ts';
import { WHICH_CAFE, type Here, type Pressed, type PressRoute, type Said, type Subject, type WhichCafe } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message, type Message } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import type { Ids } from '../store/id.ts';
import type { Store, Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { instant, type Instant } from '../time/instant.ts';
import { toDay, weekdayOf, type Weekday } from '../time/local-date.ts';
import { dateAt, parseLocalTime } from '../time/wall-time.ts';
import type { Words } from '../words/catalogue.ts';
import { figure } from '../words/format.ts';
import { meant } from './about-job.ts';
import { isReckoned } from './dates.ts';
import { firstDue } from './fire.ts';
import { jobMessage, jobsMessage, oftenMessage, whenMessage, whoMessage, type JobView, type Show } from './jobs-view.ts';
import { dutyOften, ruleFor } from './often.ts';
import { dutiesOf, dutyById, repeatOf, setDuty, type Duty } from './records.ts';
import { reckonSoon } from './reckon.ts';
import type { Job } from './standard.ts';

export type JobsNeeds = { readonly store: Store; readonly words: Words; readonly ids: Ids; readonly jobs: readonly Job[]; readonly requests: ReadRequest };

/** More than any machine makes between two turns of a job. */
const MOST_USE = 1_000_000;

const LEAD_MINUTES = { 'before-opening': 30, cold: 90 } as const;

/** The owner looks at the jobs of the café and changes when, how often and who, or takes one out. */
export const createJobs = ({ store, words, ids, jobs, requests }: JobsNeeds): Subject => {
  const byId = new Map(jobs.map((job) => [job.id, job]));
  const order = new Map(jobs.map((job, i) => [job.id, i]));

  const showFor = (here: Here, cafe: Cafe): Show => ({ say: words.in(here.locale), reader: { locale: here.locale, zone: cafe.zone } });

  const viewOf = async (tx: Tx, duty: Duty): Promise<JobView> => {
    const who = duty.who === null ? undefined : (await membersOf(tx, duty.cafe)).find(({ id }) => id === duty.who);
    return {
      duty: duty.id, cafe: duty.cafe, job: duty.job, group: duty.group_number, state: byId.get(duty.job)?.state ?? 'either', often: dutyOften(duty, byId.get(duty.job)), moment: JSON.parse(duty.moment) as Moment,
      off: duty.switched_off === 1, who: who?.name ?? null, next: duty.next_due === null ? null : instant(duty.next_due),
    };
  };

  /** What the machine does not have is not offered; what the owner took out still is. */
  const listed = async (tx: Tx, cafe: string): Promise<readonly JobView[]> => {
    const duties = (await dutiesOf(tx, cafe)).filter((duty) => duty.active === 1 || duty.switched_off === 1);
    return Promise.all([...duties].sort((a, b) => (order.get(a.job) ?? 99) - (order.get(b.job) ?? 99)).map((duty) => viewOf(tx, duty)));
  };

  const withDuty = async (pressed: Pressed, draw: (show: Show, job: JobView, tx: Tx) => Message | Promise<Message>): Promise<Answer> =>
    read(store, async (tx) => {
      const duty = await dutyById(tx, pressed.press.ids[0] ?? '');
      const cafe = duty && (await cafeById(tx, duty.cafe));
      return { kind: 'redraw', message: duty && cafe ? await draw(showFor(pressed, cafe), await viewOf(tx, duty), tx) : message([words.in(pressed.locale)('chat.tooOld')]) };
    });

  const list = async (here: Here, cafeId: string, page: number): Promise<Message> =>
    read(store, async (tx) => {
      const cafe = await cafeById(tx, cafeId);
      return cafe ? jobsMessage(showFor(here, cafe), cafeId, await listed(tx, cafeId), page) : message([words.in(here.locale)('chat.tooOld')]);
    });

  const nextOf = (duty: Duty, cafe: Cafe, now: Instant): Instant | null => {
    const repeat = repeatOf(duty);
    const calendar = calendarOf(cafe);
    // What comes by more than the calendar is reckoned in a moment.
    if (isReckoned(byId.get(duty.job))) return duty.active === 1 && duty.next_due !== null ? instant(duty.next_due) : null;
    return repeat && calendar && cafe.state === 'live' && duty.active === 1 ? firstDue(repeat, calendar, now) : null;
  };

  /** Changes a duty and its next date together; the job as it is now comes back. */
  const change = async (pressed: Pressed, how: (duty: Duty, cafe: Cafe) => Partial<Duty> | undefined): Promise<Answer> => {
    const id = pressed.press.ids[0] ?? '';
    const cafeId = (await read(store, (tx) => dutyById(tx, id)))?.cafe;
    if (cafeId !== undefined)
      await transact(store, [cafeId], async (tx) => {
        const duty = await dutyById(tx, id);
        const cafe = await cafeById(tx, cafeId);
        const changed = duty && cafe && how(duty, cafe);
        if (!duty || !cafe || !changed) return;
        await setDuty(tx, id, { ...changed, next_due: nextOf({ ...duty, ...changed }, cafe, pressed.now), rev: duty.rev + 1 });
        if (isReckoned(byId.get(duty.job))) await reckonSoon(tx, ids, cafeId, pressed.now);
      });
    return withDuty(pressed, jobMessage);
  };

  const momentFor = (kind: string): Moment | undefined => {
    switch (kind) {
      case 'at-closing':
      case 'quiet':
        return { kind };
      case 'before-opening':
        return { kind, minutes: LEAD_MINUTES[kind] };
      case 'cold':
        return { kind, minutes: LEAD_MINUTES[kind], onClosedDay: '10:00' as never };
      default:
        return undefined;
    }
  };

  const today = (duty: Duty, cafe: Cafe, now: Instant): Weekday => weekdayOf(toDay(dateAt(now, cafe.zone)));

  const set = (pressed: Pressed): Promise<Answer> => {
    const [, what, to = ''] = pressed.press.ids;
    return change(pressed, (duty, cafe) => {
      if (what === 'moment') {
        const moment = momentFor(to);
        const cold = byId.get(duty.job)?.state === 'cold';
        return moment && cold === (to === 'cold') ? { moment: JSON.stringify(moment) } : undefined;
      }
      const day = today(duty, cafe, pressed.now);
      const rule = to === 'daily' ? ruleFor({ kind: 'daily' }) : to === 'fortnight' ? ruleFor({ kind: 'weekly', every: 2, days: [day] }) : ruleFor({ kind: 'monthly', nth: 1, day });
      return { rrule: rule, start_date: dateAt(pressed.now, cafe.zone) };
    });
  };

  const setTime = (pressed: Pressed): Promise<Answer> => {
    const time = parseLocalTime((pressed.answers['time']?.[0] ?? '').trim().replace(/^(\d):/, '0$1:').replace(/^(\d{1,2})$/, '$1:00').replace(/^(\d):/, '0$1:'));
    if (time === null) return Promise.resolve({ kind: 'redraw', message: message([words.in(pressed.locale)('routine.change.bad-time')], [{ label: words.in(pressed.locale)('routine.to.clock'), press: press('routine.time', pressed.press.ids[0] ?? '') }]) });
    return change(pressed, (duty) => (byId.get(duty.job)?.state === 'cold' ? undefined : { moment: JSON.stringify({ kind: 'clock', time }) }));
  };

  /** Asked in the duty's own unit: coffees, litres or kilograms. */
  const askUse = (pressed: Pressed): Promise<Answer> =>
    read(store, async (tx): Promise<Answer> => {
      const duty = await dutyById(tx, pressed.press.ids[0] ?? '');
      const say = words.in(pressed.locale);
      if (duty?.use_every == null || duty.use_unit === null) return { kind: 'private', message: message([say('chat.tooOld')]) };
      const now = figure(duty.use_every, pressed.locale);
      return { kind: 'form', form: { title: say('routine.change.use-form'), submit: press('routine.use-is', duty.id), questions: [{ key: 'use', label: say('routine.change.use-ask', { unit: duty.use_unit }), hint: now, answer: { kind: 'words', most: 10, now } }] } };
    });

  const setUse = (pressed: Pressed): Promise<Answer> => {
    const every = Number((pressed.answers['use']?.[0] ?? '').replace(/[\s.,'’]/g, ''));
    if (!Number.isSafeInteger(every) || every < 1 || every > MOST_USE) return Promise.resolve({ kind: 'redraw', message: message([words.in(pressed.locale)('routine.change.bad-use')], [{ label: words.in(pressed.locale)('routine.to.use'), press: press('routine.use', pressed.press.ids[0] ?? '') }]) });
    return change(pressed, (duty) => (duty.use_every === null ? undefined : { use_every: every }));
  };

  const pick = async (pressed: Pressed): Promise<Answer> => {
    const [picked = ''] = pressed.picked;
    const cafe = pressed.press.ids[0] ?? '';
    const page = /^page\.(\d+)$/.exec(picked);
    if (page) return { kind: 'redraw', message: await list(pressed, cafe, Number(page[1])) };
    return withDuty({ ...pressed, press: press('routine.job', picked) }, (show, job) => (job.cafe === cafe ? jobMessage(show, job) : message([show.say('chat.tooOld')])));
  };

  const changeAsk = (pressed: Pressed): Promise<Answer> => {
    switch (pressed.press.ids[1]) {
      case 'when':
        return withDuty(pressed, whenMessage);
      case 'often':
        return withDuty(pressed, oftenMessage);
      case 'who':
        return withDuty(pressed, async (show, job, tx) => whoMessage(show, job, (await membersOf(tx, job.cafe)).map(({ id, name }) => ({ id, name }))));
      case 'off':
        return change(pressed, () => ({ active: 0, switched_off: 1 }));
      case 'on':
        return change(pressed, () => ({ active: 1, switched_off: 0 }));
      default:
        return withDuty(pressed, jobMessage);
    }
  };

  /** "Screens every two weeks", "fewer jobs": the job that is named, or all of them, where the owner changes them. */
  const asked = async (said: Said): Promise<Answer | WhichCafe | undefined> => {
    const [id] = said.cafes;
    if (id === undefined) return undefined;
    if (said.cafes.length > 1) return WHICH_CAFE;
    const found = await read(store, async (tx) => {
      const rest = requests(said.text)?.rest ?? '';
      const duties = meant((await dutiesOf(tx, id)).filter((duty) => duty.active === 1 || duty.switched_off === 1), rest, [said.locale, 'en'].map((locale) => words.in(locale)));
      return { own: await mayIn(tx, id, said.by, 'own'), answers: await mayIn(tx, id, said.by, 'answer'), meant: rest === '' || duties.length > 0, duty: duties.length === 1 ? duties[0] : undefined };
    });
    if (!found.meant || !found.answers) return undefined;
    if (!found.own) return { kind: 'say', message: message([words.in(said.locale)('chat.ownersOnly')]) };
    if (!found.duty) return { kind: 'say', message: await list(said, id, 0) };
    const { duty } = found;
    return { kind: 'say', message: await read(store, async (tx) => { const cafe = await cafeById(tx, id); return cafe ? jobMessage(showFor(said, cafe), await viewOf(tx, duty)) : message([words.in(said.locale)('chat.tooOld')]); }) };
  };

  const cafeOfDuty = async (tx: Tx, given: Press): Promise<string | undefined> => (await dutyById(tx, given.ids[0] ?? ''))?.cafe;
  const route = (kind: string, take: PressRoute['take'], more: Partial<PressRoute> = {}): PressRoute => ({ kind, ack: 'update', right: 'own', cafe: cafeOfDuty, take, ...more });
  const ofCafe = async (_tx: Tx, given: Press): Promise<string | undefined> => given.ids[0];

  return {
    words: informed('routine.jobs', 'jobs', requests, asked),
    presses: [
      route('routine.jobs', async (pressed) => ({ kind: 'redraw', message: await list(pressed, pressed.press.ids[0] ?? '', 0) }), { cafe: ofCafe }),
      route('routine.job', pick, { cafe: ofCafe }),
      route('routine.job-again', (pressed) => withDuty(pressed, jobMessage)),
      route('routine.change', changeAsk),
      route('routine.set', set),
      route('routine.days', (pressed) => change(pressed, (_duty, cafe) => {
        const days = pressed.picked.map(Number).filter((day) => day >= 1 && day <= 7) as Weekday[];
        return days.length === 0 ? undefined : { rrule: days.length === 7 ? ruleFor({ kind: 'daily' }) : ruleFor({ kind: 'weekly', every: 1, days }), start_date: dateAt(pressed.now, cafe.zone) };
      })),
      route('routine.who', (pressed) => change(pressed, () => ({ who: pressed.picked[0] === '-' || pressed.picked[0] === undefined ? null : pressed.picked[0] }))),
      route('routine.time', async (pressed) => ({ kind: 'form', form: { title: words.in(pressed.locale)('routine.change.time-form'), submit: press('routine.at', pressed.press.ids[0] ?? ''), questions: [{ key: 'time', label: words.in(pressed.locale)('routine.change.time-ask'), hint: '15:30', answer: { kind: 'words', most: 10 } }] } }), { ack: 'form' }),
      route('routine.at', setTime),
      route('routine.use', askUse, { ack: 'form' }),
      route('routine.use-is', setUse),
    ],
  };
};
