import { cafeById, techniciansOf, type Technician } from '../cafe/records.ts';
import { hoursText } from '../cafe/hours-format.ts';
import { parseHours } from '../cafe/hours-text.ts';
import { parseDates } from '../cafe/parse-dates.ts';
import { doorsOf } from '../cafe/read-hours.ts';
import type { Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message, type Message, type Question } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import type { Ids } from '../store/id.ts';
import type { Store, Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { dateAt } from '../time/wall-time.ts';
import type { Say, Words } from '../words/catalogue.ts';
import { shortened } from '../words/format.ts';
import type { Week7 } from './cafe-times.ts';
import { hoursOf, placeIn, putHours, putSpot, type DaysOff, type Hours } from './desks.ts';
import { fieldOf } from './pressing.ts';
import { entriesOfPerson } from './records.ts';
import { roadsOf } from './roads.ts';
import { fitted } from './show.ts';

export type OrderNeeds = { readonly store: Store; readonly words: Words; readonly ids: Ids };

const MOST_TECHNICIANS = 6;

const cafeOf = async (_tx: Tx, { ids }: Press): Promise<string | undefined> => ids[0];

/** Who is asked first, second, third; and when a technician works, is on call or away, and where they set out. */
export const createOrder = ({ store, words, ids }: OrderNeeds): readonly PressRoute[] => {
  const sayOf = (pressed: Pick<Pressed, 'locale'>): Say => words.in(pressed.locale);

  const lineOf = async (tx: Tx, say: Say, technician: Technician, place: number): Promise<string> => {
    const roads = await roadsOf(tx, technician.id);
    const open = roads.find(({ failed_at }) => failed_at === null);
    const state = technician.state !== 'linked' ? 'named' : roads.length > 0 && !open ? 'shut' : open?.proved_at ? 'proved' : 'linked';
    return fitted(say('booking.technicians.one', { place, name: technician.name, telephone: technician.telephone ?? '-', state }));
  };

  const page = async (tx: Tx, pressed: Pressed, cafe: string, note?: string): Promise<Message> => {
    const say = sayOf(pressed);
    const all = await techniciansOf(tx, cafe);
    const lines = await Promise.all(all.slice(0, note === undefined ? 4 : 3).map((technician, i) => lineOf(tx, say, technician, i + 1)));
    const pick = all.length > 1 ? [{ ask: say('booking.technicians.first'), press: press('booking.first', cafe), from: all.slice(0, MOST_TECHNICIANS).map(({ id, name }) => ({ value: id, label: shortened(name, 60) })) }] : [];
    const add = all.length < MOST_TECHNICIANS ? [button(say('booking.button.add-technician'), press('booking.add-technician', cafe))] : [];
    return message([...(note === undefined ? [] : [note]), ...(lines.length > 0 ? lines : [say('booking.technicians.none')])], ...pick, [...add, button(say('booking.button.on-the-map'), press('booking.spot', cafe))]);
  };

  const within = (pressed: Pressed, work: (tx: Tx, cafe: string) => Promise<Message>): Promise<Message> => {
    const cafe = pressed.press.ids[0] ?? '';
    return transact(store, [cafe], (tx) => work(tx, cafe));
  };

  const owner = (kind: string, take: PressRoute['take'], ack: PressRoute['ack'] = 'update'): PressRoute => ({ kind, ack, right: 'own', cafe: cafeOf, take });

  /** Who is picked goes to the front; the others keep their order behind. */
  const toFront = (pressed: Pressed): Promise<Message> =>
    within(pressed, async (tx, cafe) => {
      const all = await techniciansOf(tx, cafe);
      const first = all.find(({ id }) => id === pressed.picked[0]);
      const order = first ? [first, ...all.filter((each) => each !== first)] : all;
      for (const [i, { id }] of order.entries()) await tx.updateTable('technician').set({ position: i + 1 }).where('id', '=', id).execute();
      return page(tx, pressed, cafe, first && sayOf(pressed)('booking.technicians.moved', { name: first.name }));
    });

  const add = (pressed: Pressed): Promise<Message> =>
    within(pressed, async (tx, cafe) => {
      const all = await techniciansOf(tx, cafe);
      const [name, telephone] = [fieldOf(pressed, 'name', 40), fieldOf(pressed, 'telephone', 30)];
      if (name === '' || all.length >= MOST_TECHNICIANS) return page(tx, pressed, cafe);
      await tx.insertInto('technician').values({ id: ids(pressed.now), cafe, position: (all.at(-1)?.position ?? 0) + 1, name, telephone: telephone === '' ? null : telephone, state: 'named', created_at: pressed.now }).execute();
      return page(tx, pressed, cafe, sayOf(pressed)('booking.technicians.added', { name }));
    });

  const spot = (pressed: Pressed): Promise<Message> =>
    within(pressed, async (tx, cafe) => {
      const place = placeIn(fieldOf(pressed));
      if (place) await putSpot(tx, cafe, place);
      return page(tx, pressed, cafe, sayOf(pressed)(place ? 'booking.spot.kept' : 'booking.spot.unread'));
    });

  const field = (say: Say, key: string, now: string, hint: string): Question => ({ key, label: say(`booking.hours.${key}`), hint: say(hint), optional: true, answer: { kind: 'words', most: 120, ...(now === '' ? {} : { now }) } });

  const weekText = (week: Week7 | null): string => (week === null ? '' : hoursText({ days: week, holidays: [] }).replace(/; holidays closed$/, ''));

  const hoursForm = async (pressed: Pressed): Promise<Answer> => {
    const say = sayOf(pressed);
    const { hours, zone } = await read(store, async (tx) => ({ hours: await hoursOf(tx, pressed.by.id), zone: (await entriesOfPerson(tx, pressed.by.id))[0]?.zone ?? '' }));
    return {
      kind: 'form',
      form: {
        title: say('booking.hours.title'), submit: press('booking.hours-said'),
        questions: [
          field(say, 'works', weekText(hours.works), 'booking.hours.works-hint'), field(say, 'on-call', weekText(hours.onCall), 'booking.hours.works-hint'),
          field(say, 'off', hours.daysOff.map(({ from, to }) => (from === to ? from : `${from} to ${to}`)).join(', '), 'booking.hours.off-hint'),
          field(say, 'from', hours.from === null ? '' : `${hours.from.latitude}, ${hours.from.longitude}`, 'booking.hours.from-hint'), field(say, 'zone', zone, 'booking.hours.zone-hint'),
        ],
      },
    };
  };

  const weekIn = (text: string, locale: string): Week7 | null | undefined => {
    if (text === '') return null;
    const parsed = parseHours(text, doorsOf(locale));
    return parsed.ok ? parsed.week.days : undefined;
  };

  const daysOffIn = (text: string, today: Parameters<typeof parseDates>[1], locale: string): DaysOff | undefined => {
    const found = text.split(/[,;]+/).map((part) => part.trim()).filter((part) => part !== '').map((part) => parseDates(part, today, locale));
    return found.some((each) => each === undefined) ? undefined : found.flatMap((each) => (each ? [each] : []));
  };

  const isZone = (text: string): boolean => Intl.supportedValuesOf('timeZone').includes(text) || text === 'UTC';

  /** Nothing is kept of a form of which a part cannot be read: it is said which. */
  const hoursSaid = async (pressed: Pressed): Promise<Answer> => {
    const say = sayOf(pressed);
    const entries = await read(store, (tx) => entriesOfPerson(tx, pressed.by.id));
    if (entries.length === 0) return { kind: 'redraw', message: message([say('chat.techniciansOnly')]) };
    const zone = fieldOf(pressed, 'zone', 60) || entries[0]?.zone || 'UTC';
    if (!isZone(zone)) return { kind: 'redraw', message: message([say('booking.hours.unread.zone')]) };
    const [works, onCall] = [weekIn(fieldOf(pressed, 'works'), pressed.locale), weekIn(fieldOf(pressed, 'on-call'), pressed.locale)];
    const daysOff = daysOffIn(fieldOf(pressed, 'off'), dateAt(pressed.now, zone), pressed.locale);
    const typed = fieldOf(pressed, 'from');
    const from = typed === '' ? null : placeIn(typed);
    if (works === undefined || onCall === undefined) return { kind: 'redraw', message: message([say('booking.hours.unread.hours')]) };
    if (daysOff === undefined) return { kind: 'redraw', message: message([say('booking.hours.unread.off')]) };
    if (from === undefined) return { kind: 'redraw', message: message([say('booking.hours.unread.from')]) };
    const hours: Hours = { works, onCall, daysOff, from };
    await transact(store, [...new Set(entries.map(({ cafe }) => cafe))], async (tx) => {
      await putHours(tx, pressed.by.id, hours, pressed.now);
      await tx.updateTable('technician').set({ zone }).where('person', '=', pressed.by.id).where('state', '=', 'linked').execute();
    });
    return { kind: 'redraw', message: message([say('booking.hours.kept'), ...(works === null ? [say('booking.hours.assumed')] : [])]) };
  };

  const form = (submit: string, title: string, questions: (say: Say) => readonly [Question, ...Question[]]) => async (pressed: Pressed): Promise<Answer> => {
    const say = sayOf(pressed);
    return { kind: 'form', form: { title: say(title), submit: press(submit, ...pressed.press.ids), questions: questions(say) } };
  };
  const redraw = (work: (pressed: Pressed) => Promise<Message>) => async (pressed: Pressed): Promise<Answer> => ({ kind: 'redraw', message: await work(pressed) });

  return [
    owner('booking.technicians', async (pressed) => ({ kind: 'private', message: await within(pressed, async (tx, cafe) => ((await cafeById(tx, cafe)) ? page(tx, pressed, cafe) : message([sayOf(pressed)('chat.tooOld')]))) }), 'private'),
    owner('booking.first', redraw(toFront)),
    owner('booking.add-technician', form('booking.added', 'booking.form.technician', (say) => [
      { key: 'name', label: say('booking.form.technician-name'), answer: { kind: 'words', most: 40 } }, { key: 'telephone', label: say('booking.form.technician-telephone'), optional: true, answer: { kind: 'words', most: 30 } },
    ]), 'form'),
    owner('booking.added', redraw(add)),
    owner('booking.spot', form('booking.spot-said', 'booking.form.spot', (say) => [{ key: 'text', label: say('booking.form.spot-ask'), hint: say('booking.hours.from-hint'), answer: { kind: 'words', most: 60 } }]), 'form'),
    owner('booking.spot-said', redraw(spot)),
    { kind: 'booking.hours', ack: 'form', right: 'anyone', take: hoursForm },
    { kind: 'booking.hours-said', ack: 'update', right: 'anyone', take: hoursSaid },
  ];
};
