import { cafeById, machineById, techniciansOf, type Cafe, type Technician } from '../cafe/records.ts';
import { mayIn } from '../cafe/rights.ts';
import type { Here, NoticeKind } from '../cafe/subject.ts';
import { line, message, type File, type Message } from '../chat/message.ts';
import { isDirect } from '../chat/who.ts';
import type { Store, Tx } from '../store/store.ts';
import { read } from '../store/transact.ts';
import { dateAt } from '../time/wall-time.ts';
import type { Instant } from '../time/instant.ts';
import type { Words } from '../words/catalogue.ts';
import type { TechnicianId } from './booking-state.ts';
import { calendarFile, calendarFileName } from './calendar-file.ts';
import type { Closing } from './closing.ts';
import type { Handed, Handing } from './handing.ts';
import { handoff } from './handoff.ts';
import { verdictOf } from './need.ts';
import { offersFor, type Desk } from './offers.ts';
import { bookingById, bookingOf, technicianById, type BookingRecord } from './records.ts';
import { placeFor } from './roads.ts';
import { dateText, fitted, type Show } from './show.ts';
import { CAFE, NOTE, TECHNICIAN, type CafeTold, type Calendar, type TechnicianNote, type TechnicianTold } from './told.ts';
import { cafeMessage, standingMessage, type CafeView } from './views-cafe.ts';
import { noteLines } from './views-note.ts';
import { isHeldBy, technicianMessage, technicianRows, type TechnicianView } from './views-technician.ts';
import { whatText } from './views-what.ts';
import { caseById } from '../faults/records.ts';

export type DrawNeeds = {
  readonly store: Store;
  readonly words: Words;
  readonly handing: Handing;
  readonly deskOf: (tx: Tx, technician: Technician, zone: string, now: Instant) => Promise<Desk>;
  /** The message while the technician writes what was found; undefined: nobody is writing. */
  readonly closing: (show: Show, row: BookingRecord, view: TechnicianView & { readonly handed: Handed }) => Message | undefined;
  readonly isCause: (cause: string) => boolean;
  readonly isPart: (part: string) => boolean;
};

export type Draw = {
  readonly technician: (booking: string, technician: TechnicianId, now: Instant, locale?: string) => Promise<Message | undefined>;
  readonly viewFor: (tx: Tx, row: BookingRecord, technician: Technician, now: Instant) => Promise<(TechnicianView & { readonly handed: Handed }) | undefined>;
  readonly cafe: (told: CafeTold, now: Instant, locale?: string) => Promise<Message | undefined>;
  readonly showFor: (cafe: Cafe, now: Instant, locale?: string | null) => Show;
  /** A booking as it stands for somebody of its café; undefined for everyone else. */
  readonly standing: (booking: string, here: Here) => Promise<Message | undefined>;
  readonly closing: Pick<Closing, 'isCause' | 'isPart'>;
  readonly notices: readonly NoticeKind[];
};

export const createDraw = ({ store, words, handing, deskOf, closing, isCause, isPart }: DrawNeeds): Draw => {
  const showFor: Draw['showFor'] = (cafe, now, locale) => {
    const language = words.nearest(locale ?? cafe.language);
    return { say: words.in(language), reader: { locale: language, zone: cafe.zone }, now };
  };

  const viewFor: Draw['viewFor'] = async (tx, row, technician, now) => {
    const handed = await handing(tx, row, now);
    if (!handed) return undefined;
    const { cafe, machine, facts } = handed;
    const booking = bookingOf(row);
    const taken = isHeldBy(booking, technician.id) !== undefined || (booking.state.kind === 'finished' && booking.state.technician === technician.id);
    const desk = await deskOf(tx, technician, technician.zone ?? cafe.zone, now);
    const urgent = row.level === 'danger';
    const place = await placeFor(tx, technician);
    const offers = await offersFor(tx, { cafe, technician, booking, urgent, visitBy: row.visit_by as Instant, desk, place: facts.cafe.place }, now);
    return { handed, booking, technician: technician.id, handoff: handoff(facts, { linked: technician.state === 'linked', taken, setsOutFrom: desk.from }, now), groups: machine?.groups ?? null, urgent, offers, cafe: { name: cafe.name, town: cafe.town }, direct: place !== undefined && isDirect(place), zone: technician.zone };
  };

  const technician: Draw['technician'] = async (id, who, now, locale) =>
    read(store, async (tx) => {
      const row = await bookingById(tx, id);
      const entry = await technicianById(tx, who);
      if (!row || !entry || entry.cafe !== row.cafe) return undefined;
      const view = await viewFor(tx, row, entry, now);
      if (!view) return undefined;
      const show = showFor(view.handed.cafe, now, locale ?? entry.language);
      if (entry.state !== 'linked') return message([show.say('booking.t.unlinked')]);
      return closing(show, row, view) ?? technicianMessage(show, view);
    });

  const fileOf = (show: Show, cafe: Cafe, row: BookingRecord, calendar: Calendar, who: string, what: string, forTechnician: boolean, facts: Handed['facts']): File => {
    const { appointment, method, stamp } = calendar;
    const text = calendarFile({
      bookingId: row.id, appointment, method, stamp, summary: show.say('booking.file.summary', { what, where: forTechnician ? cafe.name : who }),
      description: show.say('booking.file.description', { when: dateText(appointment.span.start, show), zone: cafe.zone }),
      location: cafe.address ?? `${cafe.name}, ${cafe.town}`, place: facts.cafe.place, cafe: cafe.name, technician: who, alarmMinutesBefore: 60,
    });
    return { name: calendarFileName(dateAt(appointment.span.start, cafe.zone)), bytes: new TextEncoder().encode(text) };
  };

  const note = async (data: TechnicianNote, now: Instant): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const row = await bookingById(tx, data.booking);
      const entry = await technicianById(tx, data.technician);
      const view = row && entry && (await viewFor(tx, row, entry, now));
      if (!row || !entry || !view || entry.state !== 'linked') return undefined;
      const show = showFor(view.handed.cafe, now, entry.language);
      const what = whatText(show.say, view.handoff.first.symptom, view.handoff.first.group);
      if (data.calendar) {
        const when = dateText(data.calendar.appointment.span.start, show);
        const text = fitted(show.say(data.calendar.method === 'request' ? 'booking.file.t' : 'booking.file.t-cancel', { cafe: view.cafe.name, when }));
        return { ...message([text]), files: [fileOf(show, view.handed.cafe, row, data.calendar, entry.name, what, true, view.handed.facts)] };
      }
      if (!data.notice) return undefined;
      const lines = noteLines(show, data.notice, view.cafe.name, what).map((text, i) => (i === 0 ? line(text, 'strong') : line(text)));
      const rows = row.rev === data.rev ? technicianRows(show, view) : undefined;
      return { lines, ...(rows ? { rows } : {}) };
    });

  /** What the verdict said to do until then; the booking says nothing else. */
  const untilOf = async (tx: Tx, row: BookingRecord, show: Show): Promise<string | null> => {
    const aCase = row.case_id === null ? undefined : await caseById(tx, row.case_id);
    const verdict = verdictOf(aCase);
    if (row.level === 'danger' || verdict?.choice.meanwhile === 'machine-off') return show.say('booking.until.off');
    if (verdict?.choice.meanwhile === 'group-out' && aCase?.group_number) return show.say('booking.until.group-out', { group: aCase.group_number });
    const cause = verdict?.likely[0]?.cause.split('+')[0];
    return cause === undefined || cause === 'something-else' ? null : show.say('booking.until', { until: show.say(`faults.cause.${cause}.until`) });
  };

  const cafeView = async (tx: Tx, row: BookingRecord, house: Cafe, show: Show, money: boolean): Promise<CafeView> => {
    const all = await tx.selectFrom('technician').selectAll().where('cafe', '=', house.id).orderBy('position').execute();
    const booking = bookingOf(row);
    const machine = row.machine === null ? undefined : await machineById(tx, row.machine);
    const entry = (id: TechnicianId) => all.find((each) => each.id === id);
    return {
      booking, urgent: row.level === 'danger', until: await untilOf(tx, row, show), isCause, isPart,
      stillOff: machine?.state === 'must stay off', currency: money ? house.currency : null,
      name: (id) => entry(id)?.name ?? show.say('booking.somebody'), telephone: (id) => entry(id)?.telephone ?? null,
      call: (await techniciansOf(tx, house.id)).map(({ name, telephone }) => ({ name, telephone })),
      moreToAsk: booking.order.some((id) => !booking.asked.includes(id)),
    };
  };

  const cafe: Draw['cafe'] = async (told, now, locale) =>
    read(store, async (tx) => {
      const row = await bookingById(tx, told.booking);
      const house = row && (await cafeById(tx, row.cafe));
      if (!row || !house) return undefined;
      const owner = told.owner === null ? undefined : await tx.selectFrom('member').select('language').where('id', '=', told.owner).executeTakeFirst();
      const show = showFor(house, now, locale ?? owner?.language);
      const view = await cafeView(tx, row, house, show, told.owner !== null);
      const shown = cafeMessage(show, view, told.notice, told.number === row.told, told.by);
      if (!told.calendar) return shown;
      const handed = await handing(tx, row, now);
      if (!handed) return shown;
      const what = whatText(show.say, handed.facts.fault.symptom, handed.facts.fault.group);
      return { ...shown, files: [fileOf(show, house, row, told.calendar, view.name(told.calendar.technician), what, false, handed.facts)] };
    });

  const standing: Draw['standing'] = async (id, here) =>
    read(store, async (tx) => {
      const row = await bookingById(tx, id);
      const house = row && (await cafeById(tx, row.cafe));
      if (!row || !house || !(await mayIn(tx, house.id, here.by, 'answer'))) return undefined;
      const show = showFor(house, here.now, here.locale);
      return standingMessage(show, await cafeView(tx, row, house, show, await mayIn(tx, house.id, here.by, 'own')));
    });

  const notices: readonly NoticeKind[] = [
    { kind: TECHNICIAN, show: ({ data, now }) => technician((data as TechnicianTold).booking, (data as TechnicianTold).technician, now) },
    { kind: NOTE, show: ({ data, now }) => note(data as TechnicianNote, now) },
    { kind: CAFE, show: ({ data, now }) => cafe(data as CafeTold, now) },
  ];

  return { technician, viewFor, cafe, standing, showFor, closing: { isCause, isPart }, notices };
};
