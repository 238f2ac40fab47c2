import { calendarOf } from '../cafe/calendar.ts';
import { parseDates } from '../cafe/parse-dates.ts';
import { cafeById, machineById, machinesOf, ownersOf, techniciansOf, type Cafe } from '../cafe/records.ts';
import type { NoticeKind, Pressed, PressRoute, TimerKind } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message, type Message } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import { direct, personId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import { post } from '../store/post.ts';
import type { Store, Tx } from '../store/store.ts';
import { stopTimer } from '../store/timers.ts';
import { read } from '../store/transact.ts';
import { days, instant, later, type Instant } from '../time/instant.ts';
import { parseLocalDate } from '../time/local-date.ts';
import { dateAt } from '../time/wall-time.ts';
import { nextQuiet, quietOn } from './cafe-times.ts';
import type { Desk } from './desk.ts';
import { worksFor } from './desks.ts';
import { needOf } from './need.ts';
import { fieldOf } from './pressing.ts';
import { bookingById, linkedIn, openBookings } from './records.ts';
import { fitted, label, whenText, type Show } from './show.ts';
import { reachableOwners } from './told.ts';
import { ASKS_AGAIN, ASKS_AHEAD, createServicePlans, isGoingOn, SERVICE, type Plan } from './service-plan.ts';
import { serviceMessage, servicesMessage } from './views-service.ts';

const ABOUT = ['yearly service', 'pressure examination'] as const;

export type ServiceNeeds = { readonly store: Store; readonly ids: Ids; readonly desk: Desk; readonly showFor: (cafe: Cafe, now: Instant, locale?: string | null) => Show };

/** Visits that come round by the calendar: proposed in time, booked like every other. */
export const createService = ({ store, ids, desk, showFor }: ServiceNeeds) => {
  const { planById, plansOf, timerKey, dueAt, schedule, finished, nextVisit } = createServicePlans({ ids, showFor });

  /** The day somebody comes anyway is the first to offer. */
  const daysFor = async (tx: Tx, cafe: Cafe, now: Instant) => {
    const agreed = (await openBookings(tx, cafe.id)).find(({ starts_at }) => starts_at !== null && starts_at > now);
    const [first] = linkedIn(await techniciansOf(tx, cafe.id));
    const works = first && (await worksFor(tx, first, cafe, now))(first);
    const quiet = nextQuiet(calendarOf(cafe), cafe.zone, later(now, days(1)), 2, works);
    if (!agreed || agreed.starts_at === null || agreed.ends_at === null) return { days: quiet, anyway: undefined };
    const own = { date: dateAt(instant(agreed.starts_at), cafe.zone), span: { start: instant(agreed.starts_at), end: instant(agreed.ends_at) } };
    return { days: [own, ...quiet.filter(({ date }) => date !== own.date)].slice(0, 2), anyway: agreed };
  };

  const ask = async (tx: Tx, plan: Plan, cafe: Cafe, now: Instant): Promise<void> => {
    await tx.updateTable('service_plan').set({ state: 'asked', asked_at: now, updated_at: now }).where('id', '=', plan.id).execute();
    for (const owner of await reachableOwners(tx, cafe.id))
      await post(tx, ids, now, { key: `${SERVICE}.${plan.id}.${now}.${owner.id}`, cafe: cafe.id, place: direct(personId(owner.person)), kind: SERVICE, data: { plan: plan.id, owner: owner.id }, priority: 'other', silent: true });
  };

  const fire: TimerKind['fire'] = async (tx, { ref }, now) => {
    const plan = await planById(tx, ref);
    const cafe = plan && (await cafeById(tx, plan.cafe));
    if (!plan || !cafe || plan.state === 'off' || cafe.state === 'gone') return;
    const going = plan.booking === null ? undefined : await bookingById(tx, plan.booking);
    if (!isGoingOn(going)) await ask(tx, plan, cafe, now);
    await schedule(tx, plan, cafe, now, later(now, ASKS_AGAIN));
  };

  const draw = async (tx: Tx, plan: Plan, cafe: Cafe, show: Show): Promise<Message> => {
    const technicians = await techniciansOf(tx, cafe.id);
    const { days: offered, anyway } = await daysFor(tx, cafe, show.now);
    const comes = anyway && technicians.find(({ id }) => id === anyway.technician);
    return serviceMessage(show, {
      plan: plan.id, about: plan.about, due: dueAt(plan, cafe), technician: (linkedIn(technicians)[0] ?? technicians[0])?.name ?? null, days: offered,
      anyway: anyway?.starts_at && comes ? show.say('booking.ask.anyway', { name: comes.name, when: whenText(instant(anyway.starts_at), show) }) : null,
    });
  };

  const drawPage = async (tx: Tx, cafe: Cafe, show: Show, note?: string): Promise<Message> =>
    servicesMessage(show, { cafe: cafe.id, plans: (await plansOf(tx, cafe.id)).map((plan) => ({ about: plan.about, due: dueAt(plan, cafe), booked: plan.state === 'booked' })), about: ABOUT, ...(note === undefined ? {} : { note }) });

  const cafeOfPlan = async (tx: Tx, given: Press): Promise<string | undefined> => (await planById(tx, given.ids[0] ?? ''))?.cafe;
  const cafeOf = async (_tx: Tx, given: Press): Promise<string | undefined> => given.ids[0];

  const withCafe = async (pressed: Pressed, home: string | undefined, work: (tx: Tx, cafe: Cafe, show: Show) => Promise<Message>): Promise<Message> => {
    const plain = (): Message => message([showFor({ language: pressed.locale, zone: 'UTC' } as Cafe, pressed.now, pressed.locale).say('chat.tooOld')]);
    if (home === undefined) return plain();
    return desk.holding(home, async (tx) => {
      const cafe = await cafeById(tx, home);
      return cafe ? work(tx, cafe, showFor(cafe, pressed.now, pressed.locale)) : plain();
    });
  };

  const setPlan = async (pressed: Pressed): Promise<Answer> => {
    const [home = '', about = ''] = pressed.press.ids;
    return {
      kind: 'redraw',
      message: await withCafe(pressed, home, async (tx, cafe, show) => {
        const typed = fieldOf(pressed, 'due', 40);
        const today = dateAt(pressed.now, cafe.zone);
        const [machine] = await machinesOf(tx, cafe.id);
        const due = parseLocalDate(typed) ?? parseDates(typed, today, pressed.locale)?.from;
        const months = Number(/^\d{1,3}$/.exec(fieldOf(pressed, 'months', 4))?.[0] ?? Number.NaN);
        if (due === undefined || !machine || !(ABOUT as readonly string[]).includes(about)) return drawPage(tx, cafe, show, show.say('booking.service.unread'));
        const row = { due_date: due, every_months: Number.isFinite(months) && months > 0 ? months : null, state: 'planned', asked_at: null, booking: null, updated_at: pressed.now };
        await tx.insertInto('service_plan').values({ id: ids(pressed.now), cafe: cafe.id, machine: machine.id, about, ...row }).onConflict((conflict) => conflict.columns(['cafe', 'machine', 'about']).doUpdateSet(row)).execute();
        const plan = (await plansOf(tx, cafe.id)).find((each) => each.about === about);
        if (plan) await schedule(tx, plan, cafe, pressed.now, pressed.now);
        return drawPage(tx, cafe, show, show.say('booking.service.kept'));
      }),
    };
  };

  const book = async (pressed: Pressed): Promise<Answer> => {
    const [id = '', ...dates] = pressed.press.ids;
    const home = await read(store, async (tx) => (await planById(tx, id))?.cafe);
    return {
      kind: 'redraw',
      message: await withCafe(pressed, home, async (tx, cafe, show) => {
        const plan = await planById(tx, id);
        const before = plan?.booking == null ? undefined : await bookingById(tx, plan.booking);
        if (!plan || isGoingOn(before)) return message([show.say('booking.ask.gone')]);
        const technicians = linkedIn(await techniciansOf(tx, cafe.id));
        const suits = dates.flatMap((text) => {
          const date = parseLocalDate(text);
          return date === null ? [] : quietOn(calendarOf(cafe), cafe.zone, date, pressed.now);
        });
        const need = await needOf(tx, { cafe, machine: await machineById(tx, plan.machine), aCase: undefined, danger: undefined }, technicians, () => undefined, pressed.now);
        const due = dueAt(plan, cafe);
        const row = await desk.open(tx, {
          cafe: cafe.id, caseId: null, dangerId: null, machine: plan.machine, about: plan.about, need: { ...need, visitBy: due > pressed.now ? due : pressed.now },
          suits: suits.length > 0 ? suits : [{ start: pressed.now, end: later(pressed.now, ASKS_AHEAD) }], by: { id: pressed.by.id, name: pressed.by.name }, ...(technicians.length > 0 ? { answered: pressed.by.id } : {}),
        }, pressed.now);
        await tx.updateTable('service_plan').set({ state: 'booked', booking: row.id, updated_at: pressed.now }).where('id', '=', id).execute();
        const name = technicians.find((each) => each.id === row.technician)?.name;
        return message([name === undefined ? show.say('booking.c.nobody') : fitted(show.say('booking.ask.stored', { name }))]);
      }),
    };
  };

  const put = (state: 'off' | 'planned') => async (pressed: Pressed): Promise<Answer> => {
    const id = pressed.press.ids[0] ?? '';
    const home = await read(store, async (tx) => (await planById(tx, id))?.cafe);
    return {
      kind: 'redraw',
      message: await withCafe(pressed, home, async (tx, cafe, show) => {
        const plan = await planById(tx, id);
        if (!plan) return message([show.say('booking.ask.gone')]);
        await tx.updateTable('service_plan').set({ state, updated_at: pressed.now }).where('id', '=', id).execute();
        if (state === 'off') await stopTimer(tx, timerKey(id));
        else await schedule(tx, plan, cafe, pressed.now, later(pressed.now, ASKS_AGAIN));
        return message([show.say(state === 'off' ? 'booking.service.off' : 'booking.service.later')]);
      }),
    };
  };

  const form = async (pressed: Pressed): Promise<Answer> => {
    const say = showFor({ language: pressed.locale, zone: 'UTC' } as Cafe, pressed.now, pressed.locale).say;
    const about = pressed.press.ids[1] ?? '';
    return {
      kind: 'form',
      form: {
        title: label(say(`booking.about.${about.replaceAll(' ', '-')}`)), submit: press('booking.service-said', ...pressed.press.ids),
        questions: [
          { key: 'due', label: say('booking.form.due'), hint: say('booking.form.due-hint'), answer: { kind: 'words', most: 40 } },
          { key: 'months', label: say('booking.form.months'), hint: say(about === 'pressure examination' ? 'booking.form.months-law' : 'booking.form.months-hint'), optional: true, answer: { kind: 'words', most: 4 } },
        ],
      },
    };
  };

  const showNotice: NoticeKind['show'] = ({ data, now }) =>
    read(store, async (tx) => {
      const told = data as { readonly plan: string; readonly owner: string };
      const plan = await planById(tx, told.plan);
      const cafe = plan && (await cafeById(tx, plan.cafe));
      if (!plan || !cafe || plan.state !== 'asked') return undefined;
      const owner = (await ownersOf(tx, cafe.id)).find(({ id }) => id === told.owner);
      return draw(tx, plan, cafe, showFor(cafe, now, owner?.language));
    });

  const presses: readonly PressRoute[] = [
    { kind: 'booking.services', ack: 'private', right: 'own', cafe: cafeOf, take: async (pressed) => ({ kind: 'private', message: await withCafe(pressed, pressed.press.ids[0], (tx, cafe, show) => drawPage(tx, cafe, show)) }) },
    { kind: 'booking.service-set', ack: 'form', right: 'own', cafe: cafeOf, take: form },
    { kind: 'booking.service-said', ack: 'update', right: 'own', cafe: cafeOf, take: setPlan },
    { kind: 'booking.service-book', ack: 'update', right: 'own', cafe: cafeOfPlan, take: book },
    { kind: 'booking.service-later', ack: 'update', right: 'own', cafe: cafeOfPlan, take: put('planned') },
    { kind: 'booking.service-off', ack: 'update', right: 'own', cafe: cafeOfPlan, take: put('off') },
  ];

  return {
    presses, finished, nextVisit,
    notices: [{ kind: SERVICE, show: showNotice }] as readonly NoticeKind[],
    timers: [{ kind: SERVICE, fire }] as readonly TimerKind[],
  };
};
