import { cafeById, type Technician } from '../cafe/records.ts';
import type { CommandRoute, Here, NoticeKind, Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message, type Button, type Form, type Message } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import type { Store, Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { instant, type Instant } from '../time/instant.ts';
import type { Say, Words } from '../words/catalogue.ts';
import { shortened } from '../words/format.ts';
import type { BookingEvent } from './booking-event.ts';
import type { CloseOut } from './booking-state.ts';
import type { Desk, Done } from './desk.ts';
import type { Draw } from './draw.ts';
import { assumedVisit } from './offers.ts';
import { bookingById, bookingOf, bookingsWith, changeBooking, elsewhereOf, entriesOfPerson, openBookings, technicianById, type BookingRecord } from './records.ts';
import { fitted, whenLabel, type Show } from './show.ts';
import { span as spanOf, type Span } from './span.ts';
import { isTooFar, readTime, type DayWords } from './time-words.ts';
import { tellCafe } from './told.ts';
import { isHeldBy } from './views-technician.ts';
import { whatText } from './views-what.ts';

export type ArrangeNeeds = {
  readonly store: Store;
  readonly words: Words;
  readonly ids: (now: Instant) => string;
  readonly desk: Desk;
  readonly draw: Draw;
  /** A technician says that a machine may be used again. */
  readonly free: (tx: Tx, machine: string, by: string, reason: string, now: Instant) => Promise<void>;
  /** Buttons below the visits: linking for owners, unlinking for technicians. */
  readonly links: (tx: Tx, here: Here, cafes: readonly string[]) => Promise<readonly (readonly Button[])[]>;
};

const LATE_MINUTES = 30;

const dayWords = (say: Say): DayWords => {
  const groups = (key: string): readonly (readonly string[])[] => say(key).split('; ').map((part) => part.split(' '));
  return { today: say('booking.today').split(', '), tomorrow: say('booking.tomorrow').split(', '), weekdays: groups('booking.weekdays'), months: groups('booking.months') };
};

/** Everything both sides press once a booking exists. */
export const createArrange = ({ store, words, ids, desk, draw, free, links }: ArrangeNeeds): { readonly presses: readonly PressRoute[]; readonly commands: readonly CommandRoute[] } => {
  const idOf = (pressed: Pressed): string => pressed.press.ids[0] ?? '';
  const roundOfPress = (pressed: Pressed): number => Number(pressed.press.ids[1] ?? 0);
  const spanAt = (pressed: Pressed): Span => ({ start: instant(Number(pressed.press.ids[2] ?? 0)), end: instant(Number(pressed.press.ids[3] ?? Number(pressed.press.ids[2] ?? 0) + assumedVisit)) });

  /** This person's entry as a technician of the café the booking is of; undefined for everybody else. */
  const entryOf = async (tx: Tx, row: BookingRecord, pressed: Pressed): Promise<Technician | undefined> => (await entriesOfPerson(tx, pressed.by.id)).find(({ cafe }) => cafe === row.cafe);

  const showOf = async (tx: Tx, row: BookingRecord, pressed: Pressed): Promise<Show | undefined> => {
    const cafe = await cafeById(tx, row.cafe);
    return cafe && draw.showFor(cafe, pressed.now, pressed.locale);
  };

  /** The message pressed on as it is now. */
  const redrawn = async (pressed: Pressed, note?: Message): Promise<Answer> => {
    const kind = draw.notices.find((each: NoticeKind) => each.kind === pressed.shown?.kind);
    const drawn = kind && pressed.shown && (await kind.show({ data: pressed.shown.data, cafe: pressed.shown.cafe, place: pressed.at, now: pressed.now }));
    const mine = drawn ?? (await ownMessage(pressed));
    const version = pressed.shown && (await read(store, (tx) => tx.selectFrom('outbox').select('version').where('key', '=', pressed.shown?.key ?? '').executeTakeFirst()));
    const more = note ? { private: note } : {};
    if (!mine) return { kind: 'noted', ...more };
    // Files were sent with the message; an edit would send them twice.
    const { files: _files, ...shown } = mine;
    return { kind: 'redraw', message: shown, ...(pressed.shown && version ? { shows: { key: pressed.shown.key, version: version.version } } : {}), ...more };
  };

  const ownMessage = async (pressed: Pressed): Promise<Message | undefined> => {
    const entry = await read(store, async (tx) => {
      const row = await bookingById(tx, idOf(pressed));
      return row && entryOf(tx, row, pressed);
    });
    return entry && draw.technician(idOf(pressed), entry.id, pressed.now, pressed.locale);
  };

  const refusal = (pressed: Pressed, done: Done | undefined): Message | undefined => {
    const say = words.in(pressed.locale);
    if (!done) return message([say('chat.tooOld')]);
    return done.applied.kind === 'refused' ? message([say(`booking.refused.${done.applied.why.replaceAll(' ', '-')}`)]) : undefined;
  };

  type Maker = (tx: Tx, row: BookingRecord, entry: Technician) => Promise<BookingEvent | undefined> | BookingEvent | undefined;

  const byTechnician = async (pressed: Pressed, make: Maker, after?: (tx: Tx, done: Done) => Promise<void>): Promise<Answer> => {
    const done = await desk.change(idOf(pressed), pressed.now, pressed.shown?.key, async (tx, row) => {
      const entry = await entryOf(tx, row, pressed);
      return entry && make(tx, row, entry);
    }, after);
    return redrawn(pressed, refusal(pressed, done));
  };

  const byCafe = async (pressed: Pressed, make: (tx: Tx, row: BookingRecord) => Promise<BookingEvent> | BookingEvent): Promise<Answer> => {
    const done = await desk.change(idOf(pressed), pressed.now, pressed.shown?.key, async (tx, row) => make(tx, row));
    return redrawn(pressed, refusal(pressed, done));
  };

  const technicianEvent = (kind: 'cannot take' | 'on my way' | 'here') => (pressed: Pressed) => byTechnician(pressed, (_tx, _row, entry) => ({ kind, technician: entry.id, round: roundOfPress(pressed) }));

  const withElsewhere = (kind: 'take' | 'technician accepts') => (pressed: Pressed) =>
    byTechnician(pressed, async (tx, row, entry) => ({ kind, technician: entry.id, round: roundOfPress(pressed), span: kind === 'take' ? spanOf(spanAt(pressed).start, assumedVisit) : spanAt(pressed), elsewhere: await elsewhereOf(tx, entry.id, row.id) }));

  const form = (submit: string, title: string, label: string, most: number) => async (pressed: Pressed): Promise<Answer> => {
    const say = words.in(pressed.locale);
    const made: Form = { title: say(title), submit: press(submit, ...pressed.press.ids.slice(0, 3)), questions: [{ key: 'text', label: say(label), answer: { kind: 'words', most } }] };
    return { kind: 'form', form: made };
  };
  const textOf = (pressed: Pressed): string => shortened((pressed.answers['text']?.[0] ?? '').trim(), 200);

  /** Another time in words, from either side; what cannot be read is said, and the button stays. */
  const timeSaid = async (pressed: Pressed): Promise<Answer> => {
    const zone = await read(store, async (tx) => {
      const row = await bookingById(tx, idOf(pressed));
      return row && (await cafeById(tx, row.cafe))?.zone;
    });
    const say = words.in(pressed.locale);
    if (zone === undefined) return { kind: 'redraw', message: message([say('chat.tooOld')]) };
    const found = readTime(textOf(pressed), pressed.now, zone, dayWords(say), assumedVisit);
    if (found.kind !== 'time') return redrawn(pressed, message([say(`booking.time.${found.kind.replaceAll(' ', '-')}`)]));
    if (isTooFar(found.span, pressed.now)) return redrawn(pressed, message([say('booking.time.far')]));
    const { span } = found;
    return pressed.press.ids[2] === 't'
      ? byTechnician(pressed, async (tx, row, entry) => ({ kind: 'technician offers time', technician: entry.id, round: roundOfPress(pressed), span, elsewhere: await elsewhereOf(tx, entry.id, row.id) }))
      : byCafe(pressed, () => ({ kind: 'cafe offers time', round: roundOfPress(pressed), span }));
  };

  const offSaid = async (pressed: Pressed): Promise<Answer> => {
    const reason = textOf(pressed);
    return pressed.press.ids[2] === 't'
      ? byTechnician(pressed, (_tx, _row, entry) => ({ kind: 'technician calls off', technician: entry.id, round: roundOfPress(pressed), reason }))
      : byCafe(pressed, () => ({ kind: 'cafe calls off', round: roundOfPress(pressed), reason }));
  };

  const late = async (pressed: Pressed): Promise<Answer> => {
    const home = (await read(store, (tx) => bookingById(tx, idOf(pressed))))?.cafe ?? '';
    await transact(store, [home], async (tx) => {
      const row = await bookingById(tx, idOf(pressed));
      const entry = row && (await entryOf(tx, row, pressed));
      const cafe = row && (await cafeById(tx, row.cafe));
      if (row && entry && cafe && isHeldBy(bookingOf(row), entry.id)) await tellCafe({ tx, ids, now: pressed.now, cafe, row }, { kind: 'late', technician: entry.id, minutes: LATE_MINUTES }, null);
    });
    return redrawn(pressed);
  };

  const details = async (pressed: Pressed): Promise<Answer> => {
    const lines = await read(store, async (tx) => {
      const row = await bookingById(tx, idOf(pressed));
      const entry = row && (await entryOf(tx, row, pressed));
      const view = row && entry && (await draw.viewFor(tx, row, entry, pressed.now));
      const show = row && (await showOf(tx, row, pressed));
      return view && show && detailLines(show, view.handoff.details);
    });
    return { kind: 'private', message: message(lines ?? [words.in(pressed.locale)('booking.refused.not-asked')]) };
  };

  const setDraft = async (pressed: Pressed, draft: string | null): Promise<void> => {
    const home = (await read(store, (tx) => bookingById(tx, idOf(pressed))))?.cafe ?? '';
    await transact(store, [home], async (tx) => {
      const row = await bookingById(tx, idOf(pressed));
      const entry = row && (await entryOf(tx, row, pressed));
      if (row && entry && isHeldBy(bookingOf(row), entry.id)) await changeBooking(tx, row.id, { draft });
    });
  };

  const closeOutWith = (cause: string, row: BookingRecord, now: Instant): CloseOut => {
    const { state } = bookingOf(row);
    const minutes = state.kind === 'here' ? Math.max(1, Math.round((now - state.since) / 60_000)) : null;
    return { cause, confirmedBy: null, fitted: [], words: null, minutes, price: null, defectsLeft: [], shouldHaveBooked: null, adviceWasSafe: null };
  };

  const finishWith = (pressed: Pressed, cause: string): Promise<Answer> =>
    byTechnician(pressed, (_tx, row, entry) => ({ kind: 'finished', technician: entry.id, round: roundOfPress(pressed), closeOut: closeOutWith(cause, row, pressed.now) }), async (tx, done) => changeBooking(tx, done.row.id, { draft: null }));

  const correct = (pressed: Pressed, how: (closeOut: CloseOut) => CloseOut): Promise<Answer> =>
    byTechnician(pressed, (_tx, row, entry) => {
      const { state } = bookingOf(row);
      return state.kind === 'finished' ? { kind: 'correct close-out', technician: entry.id, round: roundOfPress(pressed), closeOut: how(state.closeOut) } : undefined;
    });

  const freeMachine = async (pressed: Pressed): Promise<Answer> => {
    const home = (await read(store, (tx) => bookingById(tx, idOf(pressed))))?.cafe ?? '';
    await transact(store, [home], async (tx) => {
      const row = await bookingById(tx, idOf(pressed));
      const entry = row && (await entryOf(tx, row, pressed));
      const { state } = row ? bookingOf(row) : { state: undefined };
      if (row?.machine && entry && state?.kind === 'finished' && state.technician === entry.id) await free(tx, row.machine, entry.name, state.closeOut.cause, pressed.now);
    });
    return redrawn(pressed, message([words.in(pressed.locale)('booking.t.freed')]));
  };

  const visits: CommandRoute = {
    name: 'visits',
    take: async (command) =>
      read(store, async (tx) => {
        const entries = await entriesOfPerson(tx, command.by.id);
        const mine = await bookingsWith(tx, entries.map(({ id }) => id));
        const cafes = await Promise.all(command.cafes.map((cafe) => openBookings(tx, cafe)));
        const rows = [...new Map([...mine, ...cafes.flat()].map((row) => [row.id, row])).values()].slice(0, 4);
        const say = words.in(command.locale);
        const below = await links(tx, command, command.cafes);
        if (rows.length === 0) return { kind: 'private', message: message([say('booking.visits.none')], ...below) };
        const lines = await Promise.all(rows.map(async (row) => {
          const cafe = await cafeById(tx, row.cafe);
          const show = cafe && draw.showFor(cafe, command.now, command.locale);
          const handed = row.technician === null ? undefined : await technicianById(tx, row.technician).then((entry) => entry && draw.viewFor(tx, row, entry, command.now));
          if (!cafe || !show) return '';
          const what = handed ? whatText(say, handed.handoff.first.symptom, handed.handoff.first.group) : say(`booking.about.${row.about.replaceAll(' ', '-')}`);
          return fitted(row.starts_at === null ? say('booking.visits.open', { what, where: cafe.name, state: say(`booking.state.${row.state.replaceAll(' ', '-')}`) }) : say('booking.visits.one', { when: whenLabel(instant(row.starts_at), show), what, where: cafe.name }));
        }));
        return { kind: 'private', message: message(lines.filter((text) => text !== ''), ...below) };
      }),
  };

  const cafeOfBooking = async (tx: Tx, given: Press): Promise<string | undefined> => (await bookingById(tx, given.ids[0] ?? ''))?.cafe;
  const technician = (kind: string, take: PressRoute['take'], ack: PressRoute['ack'] = 'update'): PressRoute => ({ kind, ack, right: 'visit', cafe: cafeOfBooking, take });
  const owner = (kind: string, take: PressRoute['take'], ack: PressRoute['ack'] = 'update'): PressRoute => ({ kind, ack, right: 'own', cafe: cafeOfBooking, take });
  /** Both sides have this button; which side it is stands in the press, and its right is looked at inside. */
  const either = (kind: string, take: PressRoute['take'], ack: PressRoute['ack']): PressRoute => ({ kind, ack, right: 'see', cafe: cafeOfBooking, take });

  return {
    commands: [visits],
    presses: [
      technician('booking.take', withElsewhere('take')),
      technician('booking.accept', withElsewhere('technician accepts')),
      technician('booking.decline', (pressed) => byTechnician(pressed, (_tx, _row, entry) => ({ kind: 'technician declines time', technician: entry.id, round: roundOfPress(pressed), span: spanAt(pressed) }))),
      technician('booking.cannot', technicianEvent('cannot take')),
      technician('booking.way', technicianEvent('on my way')),
      technician('booking.here', technicianEvent('here')),
      technician('booking.late', late),
      technician('booking.details', details, 'private'),
      technician('booking.part', form('booking.part-said', 'booking.form.part', 'booking.form.part-ask', 60), 'form'),
      technician('booking.part-said', (pressed) => byTechnician(pressed, (_tx, _row, entry) => ({ kind: 'need a part', technician: entry.id, round: roundOfPress(pressed), part: textOf(pressed), expected: null }))),
      technician('booking.finish', async (pressed) => {
        await setDraft(pressed, JSON.stringify({ step: 'what' }));
        return redrawn(pressed);
      }),
      technician('booking.was', (pressed) => finishWith(pressed, pressed.press.ids[2] ?? '')),
      technician('booking.what', form('booking.what-said', 'booking.form.what', 'booking.form.what-ask', 60), 'form'),
      technician('booking.what-said', (pressed) => finishWith(pressed, textOf(pressed))),
      technician('booking.words', form('booking.words-said', 'booking.form.words', 'booking.form.words-ask', 110), 'form'),
      technician('booking.words-said', (pressed) => correct(pressed, (closeOut) => ({ ...closeOut, words: textOf(pressed) }))),
      technician('booking.fitted', form('booking.fitted-said', 'booking.form.fitted', 'booking.form.fitted-ask', 80), 'form'),
      technician('booking.fitted-said', (pressed) => correct(pressed, (closeOut) => ({ ...closeOut, fitted: [{ part: textOf(pressed), count: 1, group: null }] }))),
      technician('booking.free', freeMachine),
      either('booking.time', guarded(form('booking.time-said', 'booking.form.time', 'booking.form.time-ask', 40)), 'form'),
      either('booking.off', guarded(form('booking.off-said', 'booking.form.reason', 'booking.form.reason-ask', 60)), 'form'),
      either('booking.time-said', guarded(timeSaid), 'update'),
      either('booking.off-said', guarded(offSaid), 'update'),
      owner('booking.c-accept', (pressed) => byCafe(pressed, async (tx, row) => ({ kind: 'cafe accepts', round: roundOfPress(pressed), span: spanAt(pressed), elsewhere: row.technician === null ? [] : await elsewhereOf(tx, row.technician, row.id) }))),
      owner('booking.c-decline', (pressed) => byCafe(pressed, () => ({ kind: 'cafe declines time', round: roundOfPress(pressed), span: spanAt(pressed) }))),
      owner('booking.another', (pressed) => byCafe(pressed, () => ({ kind: 'cafe asks another', round: roundOfPress(pressed), insteadOf: pressed.press.ids[2] ?? '' }))),
      { ...owner('booking.again', (pressed) => byCafe(pressed, () => ({ kind: 'reopen', round: roundOfPress(pressed), why: pressed.press.ids[2] === 'still-needed' ? 'still needed' : 'not cured' }))), right: 'answer' },
    ],
  };

  /** The café's side of a shared button is its owner's; the technician's side is looked at by whose entry it is. */
  function guarded(take: PressRoute['take']): PressRoute['take'] {
    return async (pressed) => {
      if (pressed.press.ids[2] === 't') return take(pressed);
      const may = await read(store, async (tx) => {
        const row = await bookingById(tx, idOf(pressed));
        const member = row && (await tx.selectFrom('member').select('id').where('cafe', '=', row.cafe).where('person', '=', pressed.by.id).where('role', '=', 'owner').executeTakeFirst());
        return member !== undefined;
      });
      return may ? take(pressed) : { kind: 'private', message: message([words.in(pressed.locale)('chat.ownersOnly')]) };
    };
  }
};

/** What lies behind the first screen, in four short lines. */
const detailLines = (show: Show, details: Parameters<typeof detailParts>[1]): readonly string[] => detailParts(show, details).slice(0, 4).map((text) => fitted(text));

const detailParts = ({ say }: Show, details: NonNullable<Awaited<ReturnType<Draw['viewFor']>>>['handoff']['details']): readonly string[] => {
  const answers = [...details.answers.map(({ question, answer }) => say(`faults.answer.${question}.${answer}`)), ...details.swapTests.map(({ test, result }) => say(`faults.answer.${test}.${result}`)), ...details.changedLately.map((answer) => say(`faults.answer.recent-change.${answer}`))];
  const tried = details.tried.map((each) => say(`faults.job.${each.split('.')[0] ?? ''}.short`));
  const [seal] = details.seals;
  return [
    ...(details.words === null || details.words.text === '' ? [] : [say('booking.d.words', { words: shortened(details.words.text, 44), name: details.words.by })]),
    answers.length > 0 ? say('booking.d.answers', { answers: answers.join('; ').toLowerCase() }) : say('booking.d.none'),
    tried.length > 0 ? say('booking.d.tried', { tried: tried.join(', ').toLowerCase() }) : say('booking.d.tried.nothing'),
    say('booking.d.machine', { kind: details.machine.kind ?? '?', groups: details.machine.groups ?? 0, seal: seal?.sizeMm ?? 'none', contract: details.machine.contract === 'own' || details.machine.contract === null ? 'none' : details.machine.contract }),
  ];
};

