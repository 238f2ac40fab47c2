import { z } from 'zod';
import type { Answer } from '../chat/incoming.ts';
import { button, line, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { direct, personId, placeId, type PlaceId } from '../chat/who.ts';
import { post, redraw } from '../store/post.ts';
import type { Ids } from '../store/id.ts';
import type { Tx } from '../store/store.ts';
import { setTimer, stopTimer } from '../store/timers.ts';
import { read } from '../store/transact.ts';
import { hours, later, type Instant } from '../time/instant.ts';
import { fromDay, plusDays, toDay, weekdayOf, type LocalDate } from '../time/local-date.ts';
import { dateAt, instantOf, localTime } from '../time/wall-time.ts';
import { inLines, shortDate, shortened, weekday } from '../words/format.ts';
import { calendarOf, readExceptions, weekSchema, writeExceptions, writeWeek } from './calendar.ts';
import type { Talk } from './conversation.ts';
import { holidaysIn, type Holiday } from './holidays.ts';
import { houseOf, type House } from './house.ts';
import { isOpenOn, nextOpenDate, type DaySpans, type HoursException } from './hours.ts';
import { momentOn } from './hours-moments.ts';
import { parseSpans } from './hours-text.ts';
import { spansText } from './hours-view.ts';
import type { CafeNeeds } from './needs.ts';
import { doorsOf } from './read-hours.ts';
import { regionsOf } from './regions.ts';
import { ownersOf, type Cafe } from './records.ts';
import type { NoticeKind, Pressed, PressRoute, TimerKind } from './subject.ts';
import { cafeOfPress, talking } from './talking.ts';

export const HOLIDAY = 'cafe.holiday';
/** So long before a holiday its hours are asked about: time to plan, and near enough to know. */
const AHEAD_DAYS = 10;
const NOON = localTime('12:00');

const timerKey = (cafe: string): string => `${HOLIDAY}.${cafe}`;
const noticeKey = (cafe: string, date: LocalDate, place: string): string => `${HOLIDAY}.${cafe}.${date}.${place}`;

const said = (cafe: Cafe, date: LocalDate): HoursException | undefined => readExceptions(cafe.exceptions).findLast((one) => (one.kind === 'open' ? one.date === date : one.from <= date && date <= one.to));

/** The next holidays of which the owner has said nothing, on days the café would be open. */
export const unsaidHolidays = (cafe: Cafe, now: Instant): readonly Holiday[] => {
  const calendar = calendarOf(cafe);
  if (!calendar || cafe.country === null || cafe.holiday_rule !== null) return [];
  const today = dateAt(now, cafe.zone);
  const year = Number(today.slice(0, 4));
  const { country, region } = cafe;
  return [year, year + 1].flatMap((each) => holidaysIn(country, each, cafe.language, region)).filter(({ date }) => date > plusDays(today, 1) && !said(cafe, date) && isOpenOn(calendar, date));
};

/** The quiet hour in which to ask: ten days ahead, or the next one where that is past. */
const askAt = (cafe: Cafe, holiday: LocalDate, now: Instant): Instant | undefined => {
  const calendar = calendarOf(cafe);
  if (!calendar) return undefined;
  const today = dateAt(now, cafe.zone);
  let from = plusDays(holiday, -AHEAD_DAYS);
  if (from < today) from = today;
  for (let date = nextOpenDate(calendar, plusDays(from, -1)); date !== null && date < holiday; date = nextOpenDate(calendar, date)) {
    const at = momentOn(calendar, date, { kind: 'quiet' });
    if (at !== null && at > now) return at;
  }
  return undefined;
};

/** Where it is asked: directly where owners agreed to that, else in the café's channel. */
const placesOf = async (tx: Tx, cafe: Cafe): Promise<readonly PlaceId[]> => {
  const owners = (await ownersOf(tx, cafe.id)).flatMap(({ person, direct_ok }) => (person !== null && direct_ok === 1 ? [direct(personId(person))] : []));
  return owners.length > 0 ? owners : cafe.place === null ? [] : [placeId(cafe.place)];
};

const wasAsked = async (tx: Tx, cafe: Cafe, date: LocalDate): Promise<boolean> => {
  const keys = (await placesOf(tx, cafe)).map((place) => noticeKey(cafe.id, date, place));
  return keys.length > 0 && (await tx.selectFrom('outbox').select('id').where('key', 'in', keys).executeTakeFirst()) !== undefined;
};

const nextToAsk = async (tx: Tx, cafe: Cafe, now: Instant): Promise<{ readonly holiday: Holiday; readonly at: Instant } | undefined> => {
  for (const holiday of unsaidHolidays(cafe, now)) {
    const at = askAt(cafe, holiday.date, now);
    if (at !== undefined && !(await wasAsked(tx, cafe, holiday.date))) return { holiday, at };
  }
  return undefined;
};

/** Has holidays looked through within the hour: hours, country or zone have changed. Not at once, since the calendar of holidays is large. */
export const holidaysSoon = (tx: Tx, ids: Ids, cafe: string, now: Instant): Promise<void> => setTimer(tx, ids, now, { key: timerKey(cafe), cafe, kind: HOLIDAY, ref: `${cafe} `, at: later(now, hours(1)) });

/** Has the next holiday asked about in its time. */
const planHoliday = async (tx: Tx, ids: Ids, cafe: Cafe, now: Instant): Promise<void> => {
  const next = cafe.state === 'live' ? await nextToAsk(tx, cafe, now) : undefined;
  if (!next) return stopTimer(tx, timerKey(cafe.id));
  await setTimer(tx, ids, now, { key: timerKey(cafe.id), cafe: cafe.id, kind: HOLIDAY, ref: `${cafe.id} ${next.holiday.date}`, at: next.at });
};

export const holidayTimer = ({ ids }: CafeNeeds): TimerKind => ({
  kind: HOLIDAY,
  fire: async (tx, { ref }, now) => {
    const [id = '', date = ''] = ref.split(' ');
    const house = await houseOf(tx, id);
    if (!house || house.cafe.state !== 'live') return;
    const holiday = unsaidHolidays(house.cafe, now).find((one) => one.date === date);
    if (holiday) for (const place of await placesOf(tx, house.cafe)) await post(tx, ids, now, { key: noticeKey(id, holiday.date, place), cafe: id, place, kind: HOLIDAY, data: holiday, priority: 'other', silent: true, notAfter: instantOf(holiday.date, localTime('00:00'), house.cafe.zone) });
    await planHoliday(tx, ids, house.cafe, now);
  },
});

type Shown = { readonly needs: CafeNeeds; readonly house: House; readonly holiday: Holiday; readonly locale: string };

const questionView = ({ needs, house: { cafe }, holiday, locale }: Shown): Message => {
  const say = needs.words.in(locale);
  const reader = { locale, zone: cafe.zone };
  const at = instantOf(holiday.date, NOON, cafe.zone);
  const to = (what: string): ReturnType<typeof button> => button(say(`cafe.holiday.button.${what}`), press('cafe.holiday', cafe.id, holiday.date, what));
  const heading = say('cafe.holiday.ask', { date: shortDate(at, reader), name: shortened(holiday.name, 30) });
  // Only whoever says where they are hears of the days that count there alone.
  const region = cafe.region === null && regionsOf(needs.countries, cafe.country).length > 0 ? [[button(say('cafe.holiday.button.region'), press('cafe.region', cafe.id))]] : [];
  return message([line(heading, 'strong'), ...inLines(say('cafe.holiday.else', { day: weekday(at, reader) }))], [to('closed'), to('open'), button(say('cafe.holiday.button.hours'), press('cafe.holiday-form', cafe.id, holiday.date))], ...region);
};

/** What was said of the day, and that it can hold for all of them; the question while nothing was. */
const holidayView = (shown: Shown, note?: string): Message => {
  const { needs, house: { cafe }, holiday, locale } = shown;
  const say = needs.words.in(locale);
  const exception = said(cafe, holiday.date);
  const rule = cafe.holiday_rule;
  if (!exception && rule === null) return questionView(shown);
  const date = shortDate(instantOf(holiday.date, NOON, cafe.zone), { locale, zone: cafe.zone });
  const text = exception?.kind === 'open' ? say('cafe.holiday.open', { date, hours: spansText(exception.spans, say) }) : say('cafe.holiday.closed', { date });
  const to = (what: string): ReturnType<typeof button> => button(say(`cafe.holiday.button.${what}`), press('cafe.holiday', cafe.id, holiday.date, what));
  const lines = [text, ...(note === undefined ? [] : [note])];
  return rule === null ? message(lines, [to('always'), to('change')]) : message([...lines, say('cafe.holiday.always')], [to('ask')]);
};

export const holidayNotice = ({ store, words, ...needs }: CafeNeeds): NoticeKind => ({
  kind: HOLIDAY,
  show: async ({ data, cafe }) => {
    const holiday = z.object({ date: z.string().transform((text) => text as LocalDate), name: z.string() }).safeParse(data);
    const house = cafe === null ? undefined : await read(store, (tx) => houseOf(tx, cafe));
    return house && holiday.success ? holidayView({ needs: { store, words, ...needs }, house, holiday: holiday.data, locale: words.nearest(house.cafe.language) }) : undefined;
  },
});

const MOST = 40;

const write = async ({ needs, tx, here }: Talk, cafe: Cafe, date: LocalDate, exception: HoursException | undefined, rule: { readonly holiday_rule: string | null; readonly hours?: string }): Promise<void> => {
  const today = dateAt(here.now, cafe.zone);
  const kept = readExceptions(cafe.exceptions).filter((one) => (one.kind === 'open' ? one.date : one.to) >= today && !(one.kind === 'open' ? one.date === date : one.from === date && one.to === date));
  await tx.updateTable('cafe').set((eb) => ({ ...rule, exceptions: writeExceptions([...kept, ...(exception ? [exception] : [])].slice(-MOST)), rev: eb('rev', '+', 1) })).where('id', '=', cafe.id).execute();
  await needs.onChanged(tx, cafe.id, here.now);
};

const usualSpans = (cafe: Cafe, date: LocalDate): DaySpans => calendarOf(cafe)?.week.days[weekdayOf(toDay(date)) - 1] ?? [];

const ruleFor = (cafe: Cafe, date: LocalDate): { readonly holiday_rule: string; readonly hours?: string } => {
  const exception = said(cafe, date);
  const spans = exception?.kind === 'open' ? exception.spans : [];
  if (exception?.kind === 'open' && JSON.stringify(spans) === JSON.stringify(usualSpans(cafe, date))) return { holiday_rule: 'open' };
  return { holiday_rule: 'week', hours: writeWeek({ ...weekSchema.parse(JSON.parse(cafe.hours ?? '')), holidays: spans }) };
};

const holidayOf = (cafe: Cafe, date: LocalDate): Holiday => holidaysIn(cafe.country ?? '', Number(date.slice(0, 4)), cafe.language, cafe.region).find((one) => one.date === date) ?? { date, name: '' };

const act = async (talk: Talk, house: House, date: LocalDate, what: string, typed: string): Promise<Message> => {
  const { needs, tx, here } = talk;
  const { cafe } = house;
  const say = needs.words.in(here.locale);
  const shown = async (): Promise<Shown> => ({ needs, house: (await houseOf(tx, cafe.id)) ?? house, holiday: holidayOf(cafe, date), locale: here.locale });
  if (cafe.hours === null || toDay(date) < toDay(dateAt(here.now, cafe.zone))) return message([say('chat.tooOld')]);
  if (what === 'change') return questionView(await shown());
  const now = said(cafe, date);
  if (what === 'closed') await write(talk, cafe, date, { kind: 'closed', from: date, to: date }, { holiday_rule: cafe.holiday_rule });
  if (what === 'open') await write(talk, cafe, date, { kind: 'open', date, spans: usualSpans(cafe, date) }, { holiday_rule: cafe.holiday_rule });
  if (what === 'always' && now) await write(talk, cafe, date, now, ruleFor(cafe, date));
  if (what === 'ask') await write(talk, cafe, date, now, { holiday_rule: null });
  if (what === 'hours') {
    const spans = parseSpans(typed, doorsOf(here.locale));
    if (!spans.ok || spans.spans.length === 0) return { ...questionView(await shown()), lines: [{ text: say('cafe.holiday.unread') }] };
    await write(talk, cafe, date, { kind: 'open', date, spans: spans.spans }, { holiday_rule: cafe.holiday_rule });
  }
  return holidayView(await shown());
};

const parsedDate = (text: string | undefined): LocalDate | undefined => (text !== undefined && /^\d{4}-\d\d-\d\d$/.test(text) ? fromDay(toDay(text as LocalDate)) : undefined);

export const holidayRoutes = (needs: CafeNeeds): readonly PressRoute[] => {
  const take = (whatOf: (pressed: Pressed) => string) => async (pressed: Pressed): Promise<Answer> => {
    const date = parsedDate(pressed.press.ids[1]);
    let version: number | undefined;
    const shown = await talking(needs, pressed, pressed.press.ids[0], async (talk, house) => {
      if (!date) return message([needs.words.in(pressed.locale)('chat.tooOld')]);
      const drawn = await act(talk, house, date, whatOf(pressed), pressed.answers['hours']?.[0] ?? '');
      if (pressed.shown?.kind === HOLIDAY) version = await redraw(talk.tx, pressed.shown.key, pressed.now, true);
      return drawn;
    });
    return { kind: 'redraw', message: shown, ...(version !== undefined && pressed.shown ? { shows: { key: pressed.shown.key, version } } : {}) };
  };
  return [
    { kind: HOLIDAY, ack: 'update', right: 'own', cafe: cafeOfPress, take: take(({ press: { ids } }) => ids[2] ?? '') },
    { kind: 'cafe.holiday-hours', ack: 'update', right: 'own', cafe: cafeOfPress, take: take(() => 'hours') },
    {
      kind: 'cafe.holiday-form', ack: 'form', right: 'own', cafe: cafeOfPress,
      take: async ({ press: { ids }, locale }) => {
        const say = needs.words.in(locale);
        return { kind: 'form', form: { title: say('cafe.holiday.form'), submit: press('cafe.holiday-hours', ...ids), questions: [{ key: 'hours', label: say('cafe.holiday.form-ask'), hint: '10-15', answer: { kind: 'words', most: 60 } }] } };
      },
    },
  ];
};
