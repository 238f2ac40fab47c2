import { calendarOf } from '../cafe/calendar.ts';
import { momentOnDay } from '../cafe/hours-moments.ts';
import { cafeById, type Cafe } from '../cafe/records.ts';
import type { Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { redraw } from '../store/post.ts';
import { read, transact } from '../store/transact.ts';
import { later, minutes, type Instant } from '../time/instant.ts';
import { dayAt } from '../time/wall-time.ts';
import { clockTime, listed } from '../words/format.ts';
import type { JobAct } from './answer.ts';
import { laterMessage, whyMessage } from './ask-views.ts';
import { by, keyOf, type DoneNeeds, type ListDesk, type Told } from './list-desk.ts';
import { shortOf } from './job-name.ts';
import { machineNumbers } from './machine-numbers.ts';
import { reminderKey } from './post-due.ts';
import { putOff } from './put-off.ts';
import { occurrenceById, reminderById } from './records.ts';
import { thanksMessage } from './views.ts';

/** Every button of a list. */
export const pressRoutes = ({ store, words, ids }: DoneNeeds, desk: ListDesk): readonly PressRoute[] => {
  const { showIn, viewOf, act, redrawn, cafeOfReminder, cafeOfOccurrence, cafeFor, openJobs } = desk;

  const pressDone = async (pressed: Pressed): Promise<Answer> => {
    const id = pressed.press.ids[0] ?? '';
    const cafe = await cafeFor(id);
    return redrawn(pressed, cafe ? await act(cafe.id, id, undefined, { kind: 'done', checked: false }, by(pressed), pressed.now, keyOf(pressed)) : { kind: 'gone' });
  };

  const pressSome = async (pressed: Pressed): Promise<Answer> => {
    const say = words.in(pressed.locale);
    const open = await openJobs(pressed.press.ids[0] ?? '');
    if (open.length === 0) return { kind: 'private', message: message([say('routine.gone')]) };
    const numbers = await read(store, (tx) => machineNumbers(tx, open[0]?.cafe ?? ''));
    const options = open.slice(0, 25).map((row) => ({ value: row.id, label: `${row.position} ${shortOf(say, row, numbers)}` }));
    return { kind: 'private', message: message([say('routine.some')], { ask: say('routine.some'), press: press('routine.these', pressed.press.ids[0] ?? ''), many: { least: 1, most: options.length }, from: options }) };
  };

  const pressThese = async (pressed: Pressed): Promise<Answer> => {
    const id = pressed.press.ids[0] ?? '';
    const cafe = await cafeFor(id);
    if (!cafe) return redrawn(pressed, { kind: 'gone' });
    const told = await act(cafe.id, id, pressed.picked, { kind: 'done', checked: false }, by(pressed), pressed.now);
    if (told.kind !== 'changed') return redrawn(pressed, told, message([words.in(pressed.locale)('routine.gone')]));
    const thanks = await read(store, async (tx) => {
      const reminder = await reminderById(tx, id);
      return reminder && thanksMessage(showIn(cafe, pressed.locale), await viewOf(tx, reminder), { by: pressed.by.name, at: pressed.now, jobs: told.jobs.map((row) => row.id) });
    });
    return thanks ? { kind: 'redraw', message: thanks } : { kind: 'noted' };
  };

  const pressEnd = async (pressed: Pressed): Promise<Answer> => {
    const [id = '', how = ''] = pressed.press.ids;
    const row = await read(store, (tx) => occurrenceById(tx, id));
    if (!row) return redrawn(pressed, { kind: 'gone' });
    const what: JobAct = how === 'out' ? { kind: 'done', checked: true } : how === 'still' ? { kind: 'soaking' } : { kind: 'left over', notBegun: true };
    const told = await act(row.cafe, row.reminder, [id], what, by(pressed), pressed.now, keyOf(pressed));
    if (pressed.shown?.kind === 'routine.rinse') {
      const zone = (await read(store, (tx) => cafeById(tx, row.cafe)))?.zone ?? 'UTC';
      return { kind: 'redraw', message: message([words.in(pressed.locale)('routine.rinse.done', { name: pressed.by.name, time: clockTime(pressed.now, { locale: pressed.locale, zone }) })]) };
    }
    return redrawn(pressed, told);
  };

  const pressCant = async (pressed: Pressed): Promise<Answer> => {
    return { kind: 'private', message: whyMessage(words.in(pressed.locale), pressed.press.ids[0] ?? '') };
  };

  /** All but the jobs somebody said are not done. */
  const pressBut = async (pressed: Pressed): Promise<Answer> => {
    const [id = '', but = ''] = pressed.press.ids;
    const cafe = await cafeFor(id);
    const rest = (await openJobs(id)).filter(({ position }) => !but.split('.').includes(String(position))).map((row) => row.id);
    return redrawn(pressed, cafe ? await act(cafe.id, id, rest, { kind: 'done', checked: false }, by(pressed), pressed.now) : { kind: 'gone' });
  };

  const pressNotYet = async (pressed: Pressed): Promise<Answer> => ({ kind: 'redraw', message: message([words.in(pressed.locale)(pressed.press.ids[1] === 'rest' ? 'routine.but.not-yet' : 'routine.not-done')]) });

  const pressCantWhy = async (pressed: Pressed): Promise<Answer> => {
    const [id = '', reason = ''] = pressed.press.ids;
    const cafe = await cafeFor(id);
    if (!cafe) return redrawn(pressed, { kind: 'gone' });
    const say = words.in(pressed.locale);
    const told = await act(cafe.id, id, undefined, { kind: "can't", reason }, by(pressed), pressed.now);
    if (told.kind !== 'changed') return redrawn(pressed, told, message([say('routine.gone')]));
    const list = listed(told.jobs.map((row) => String(row.position)), pressed.locale);
    return { kind: 'redraw', message: message([say('routine.cant.noted', { jobs: list, reason: say(`routine.cant.${reason}`).toLowerCase() })], [button(say('routine.button.take-back'), press('routine.back', id))]) };
  };

  const pressLater = async (pressed: Pressed): Promise<Answer> => {
    return { kind: 'private', message: laterMessage(words.in(pressed.locale), pressed.press.ids[0] ?? '') };
  };

  const laterAt = (cafe: Cafe, when: string, now: Instant): Instant | undefined => {
    if (when === '30') return later(now, minutes(30));
    const calendar = calendarOf(cafe);
    if (when !== 'quiet' || !calendar) return undefined;
    const { day } = dayAt(now, cafe.zone);
    const at = momentOnDay(calendar, day, { kind: 'quiet' });
    return at !== null && at > now ? at : undefined;
  };

  const pressLaterTo = async (pressed: Pressed): Promise<Answer> => {
    const [id = '', when = ''] = pressed.press.ids;
    const cafe = await cafeFor(id);
    if (!cafe) return redrawn(pressed, { kind: 'gone' });
    const say = words.in(pressed.locale);
    const at = laterAt(cafe, when, pressed.now);
    const open = (await openJobs(id)).map((row) => row.id);
    const told = await putOff(desk, ids, { cafe: cafe.id, id }, open, at ?? null, by(pressed), pressed.now);
    if (told.kind !== 'changed') return redrawn(pressed, told, message([say('routine.gone')]));
    const text = at === undefined ? say('routine.later.tomorrow') : say('routine.later.noted', { time: clockTime(at, { locale: pressed.locale, zone: cafe.zone }) });
    return { kind: 'redraw', message: message([text], [button(say('routine.button.take-back'), press('routine.back', id))]) };
  };

  const pressBack = async (pressed: Pressed): Promise<Answer> => {
    const id = pressed.press.ids[0] ?? '';
    const cafe = await cafeFor(id);
    const told: Told = cafe ? await act(cafe.id, id, undefined, { kind: 'take back' }, by(pressed), pressed.now, keyOf(pressed)) : { kind: 'gone' };
    const say = words.in(pressed.locale);
    const note = message([say(told.kind === 'changed' ? 'routine.back.done' : 'routine.back.nothing')]);
    return pressed.shown ? redrawn(pressed, told, told.kind === 'changed' && pressed.shown.kind === 'reminder' ? undefined : note) : { kind: 'redraw', message: note };
  };

  const route = (kind: string, ack: PressRoute['ack'], take: PressRoute['take'], cafe = cafeOfReminder): PressRoute => ({ kind, ack, right: 'answer', cafe, take });

  const pressLong = async (pressed: Pressed): Promise<Answer> => {
    const id = pressed.press.ids[0] ?? '';
    const cafe = await cafeFor(id);
    if (cafe)
      await transact(store, [cafe.id], async (tx) => {
        await tx.updateTable('reminder').set({ form: 'long' }).where('id', '=', id).execute();
        await redraw(tx, reminderKey(id), pressed.now, true);
      });
    return redrawn(pressed, cafe ? { kind: 'changed', jobs: [] } : { kind: 'gone' });
  };

  return [
    route('routine.long', 'update', pressLong),
    route('routine.done', 'update', pressDone),
    route('routine.some', 'private', pressSome),
    route('routine.these', 'update', pressThese),
    route('routine.end', 'update', pressEnd, cafeOfOccurrence),
    route('routine.cant', 'private', pressCant),
    route('routine.cant-why', 'update', pressCantWhy),
    route('routine.later', 'private', pressLater),
    route('routine.later-to', 'update', pressLaterTo),
    route('routine.back', 'update', pressBack),
    route('routine.but', 'update', pressBut),
    route('routine.not-yet', 'update', pressNotYet),
  ];
};
