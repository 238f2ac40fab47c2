import { calendarOf } from '../cafe/calendar.ts';
import { momentOnDay } from '../cafe/hours-moments.ts';
import { cafeById, machinesOf, membersOf, type Cafe } from '../cafe/records.ts';
import { mayIn } from '../cafe/rights.ts';
import type { Here, NoticeKind, Pressed, PressRoute, Said, Subject, TickMarkRoute, TimerKind } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, line, message, type Message } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import { placeId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import { post, redraw } from '../store/post.ts';
import type { Store, Tx } from '../store/store.ts';
import { stopTimer, setTimer } from '../store/timers.ts';
import { read, transact } from '../store/transact.ts';
import { hours, instant, later, minutes, type Instant } from '../time/instant.ts';
import { dayAt } from '../time/wall-time.ts';
import type { Words } from '../words/catalogue.ts';
import { clockTime, listed } from '../words/format.ts';
import { answer, isOpen, type JobAct, type JobState } from './answer.ts';
import { reminderKey } from './post-due.ts';
import { closeReminder, lastDone, occurrenceById, occurrencesOf, onList, openReminders, reminderById, reopenReminder, writeChanges, type Occurrence, type Reminder } from './records.ts';
import { readReply, type Lexicon, type Reply } from './reply.ts';
import type { Job } from './standard.ts';
import { ASKED_IN_REPLY, listMessage, thanksMessage, type ListView, type Show } from './views.ts';

export type DoneNeeds = {
  readonly store: Store;
  readonly words: Words;
  readonly ids: Ids;
  readonly jobs: readonly Job[];
  readonly lexicons: ReadonlyMap<string, Lexicon>;
};

type Who = { readonly person: string | null; readonly name: string };
type Thanks = { readonly reminder: string; readonly by: string; readonly at: number; readonly jobs: readonly string[] };
type Told = { readonly kind: 'changed'; readonly jobs: readonly Occurrence[] } | { readonly kind: 'already'; readonly by: string; readonly at: Instant } | { readonly kind: 'nothing' } | { readonly kind: 'gone' };

/** How long after it was said anyone may take it back. */
const TAKE_BACK = hours(12);

export const createDone = ({ store, words, ids, jobs, lexicons }: DoneNeeds): Subject => {
  const ending = new Set(jobs.filter((job) => job.ends).map((job) => job.id));
  const residues = new Set(jobs.filter((job) => job.residue !== undefined).map((job) => job.id));

  const showIn = (cafe: Cafe, locale = cafe.language): Show => ({ say: words.in(locale), reader: { locale: words.nearest(locale), zone: cafe.zone } });

  const viewOf = async (tx: Tx, reminder: Reminder): Promise<ListView> => {
    const [machine] = await machinesOf(tx, reminder.cafe);
    return {
      reminder: reminder.id,
      moment: reminder.moment,
      closed: reminder.state === 'closed',
      groups: machine?.groups ?? 0,
      jobs: (await occurrencesOf(tx, reminder.id)).map((row) => ({
        id: row.id, job: row.job, position: row.position, state: row.state as JobState, byName: row.by_name, at: row.done_at === null ? null : instant(row.done_at), reason: row.reason, until: row.later_until === null ? null : instant(row.later_until),
      })),
    };
  };

  const drawList = async (id: string, locale?: string): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const reminder = await reminderById(tx, id);
      const cafe = reminder && (await cafeById(tx, reminder.cafe));
      return reminder && cafe && listMessage(showIn(cafe, locale), await viewOf(tx, reminder));
    });

  const drawThanks = async (data: Thanks): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const reminder = await reminderById(tx, data.reminder);
      const cafe = reminder && (await cafeById(tx, reminder.cafe));
      return reminder && cafe && thanksMessage(showIn(cafe), await viewOf(tx, reminder), { by: data.by, at: instant(data.at), jobs: data.jobs });
    });

  /** Everything open is answered: the list needs no closing any more, unless something still soaks. */
  const settle = async (tx: Tx, reminder: Reminder, now: Instant): Promise<void> => {
    const rows = await occurrencesOf(tx, reminder.id);
    if (rows.every((row) => !isOpen(row.state as JobState))) {
      await closeReminder(tx, reminder.id);
      await stopTimer(tx, `routine.close.${reminder.id}`);
    } else if (reminder.state === 'closed') {
      await reopenReminder(tx, reminder.id);
      await setTimer(tx, ids, now, { key: `routine.close.${reminder.id}`, cafe: reminder.cafe, kind: 'routine.close', ref: reminder.id, at: later(now, TAKE_BACK) });
    }
  };

  /** Applies an act to some jobs of a list (`which` undefined: all of them) in the one transaction of its café. */
  const act = async (cafe: string, reminderId: string, which: readonly string[] | undefined, what: JobAct, who: Who, now: Instant, pressedOn?: string, after?: (tx: Tx, jobs: readonly Occurrence[]) => Promise<void>): Promise<Told> =>
    transact(store, [cafe], async (tx) => {
      const reminder = await reminderById(tx, reminderId);
      if (!reminder) return { kind: 'gone' };
      const rows = (await occurrencesOf(tx, reminderId)).filter((row) => which === undefined || which.includes(row.id));
      const list = rows.map((row) => onList(row, ending.has(row.job)));
      const wanted = what.kind === 'take back' ? list.filter((job) => job.doneAt !== null && now - job.doneAt <= TAKE_BACK) : list;
      const { changes, already } = answer(wanted, what);
      const [first] = already;
      if (changes.length === 0) return first ? { kind: 'already', by: first.byName ?? '', at: first.doneAt ?? now } : { kind: 'nothing' };
      await writeChanges(tx, changes, who, now);
      await settle(tx, reminder, now);
      const changed = rows.filter((row) => changes.some(({ id }) => id === row.id));
      await after?.(tx, changed);
      const key = reminderKey(reminderId);
      await redraw(tx, key, now, pressedOn === key);
      if (pressedOn !== undefined && pressedOn !== key) await redraw(tx, pressedOn, now, true);
      return { kind: 'changed', jobs: changed };
    });

  const alreadySaid = (here: Here, zone: string, told: Extract<Told, { kind: 'already' }>): Message =>
    message([words.in(here.locale)('routine.already', { name: told.by, time: clockTime(told.at, { locale: here.locale, zone }) })]);

  /** The message pressed on, as it has to look now. */
  const redrawn = async (pressed: Pressed, told: Told, note?: Message): Promise<Answer> => {
    const say = words.in(pressed.locale);
    const zone = await read(store, async (tx) => (pressed.shown?.cafe ? ((await cafeById(tx, pressed.shown.cafe))?.zone ?? 'UTC') : 'UTC'));
    const more = told.kind === 'already' ? alreadySaid(pressed, zone, told) : told.kind === 'gone' ? message([say('routine.gone')]) : note;
    const version = pressed.shown && (await read(store, (tx) => tx.selectFrom('outbox').select('version').where('key', '=', pressed.shown?.key ?? '').executeTakeFirst()));
    const drawn = pressed.shown?.kind === 'reminder' ? await drawList((pressed.shown.data as { reminder: string }).reminder) : pressed.shown?.kind === 'routine.thanks' ? await drawThanks(pressed.shown.data as Thanks) : undefined;
    if (drawn && pressed.shown && version) return { kind: 'redraw', message: drawn, shows: { key: pressed.shown.key, version: version.version }, ...(more ? { private: more } : {}) };
    return more ? { kind: 'redraw', message: more } : { kind: 'noted' };
  };

  const cafeOfReminder = async (tx: Tx, given: Press): Promise<string | undefined> => (await reminderById(tx, given.ids[0] ?? ''))?.cafe;
  const cafeOfOccurrence = async (tx: Tx, given: Press): Promise<string | undefined> => (await occurrenceById(tx, given.ids[0] ?? ''))?.cafe;
  const cafeFor = async (id: string): Promise<Cafe | undefined> => read(store, async (tx) => { const reminder = await reminderById(tx, id); return reminder && cafeById(tx, reminder.cafe); });
  const by = (here: Here): Who => ({ person: here.by.id, name: here.by.name });
  const keyOf = (pressed: Pressed): string | undefined => pressed.shown?.key;

  const pressDone = async (pressed: Pressed): Promise<Answer> => {
    const id = pressed.press.ids[0] ?? '';
    const cafe = await cafeFor(id);
    return redrawn(pressed, cafe ? await act(cafe.id, id, undefined, { kind: 'done', checked: false }, by(pressed), pressed.now, keyOf(pressed)) : { kind: 'gone' });
  };

  const openJobs = async (id: string): Promise<readonly Occurrence[]> => read(store, async (tx) => (await occurrencesOf(tx, id)).filter((row) => isOpen(row.state as JobState)));

  const pressSome = async (pressed: Pressed): Promise<Answer> => {
    const say = words.in(pressed.locale);
    const open = await openJobs(pressed.press.ids[0] ?? '');
    if (open.length === 0) return { kind: 'private', message: message([say('routine.gone')]) };
    const options = open.slice(0, 25).map((row) => ({ value: row.id, label: `${row.position} ${say(`routine.job.${row.job}.short`)}` }));
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
    const what: JobAct = how === 'out' ? { kind: 'done', checked: true } : how === 'still' ? { kind: 'soaking' } : { kind: 'left over' };
    const told = await act(row.cafe, row.reminder, [id], what, by(pressed), pressed.now, keyOf(pressed), async (tx) => {
      if (how === 'still' && residues.has(row.job)) await chaseResidue(tx, row, pressed.now);
      if (how === 'out') await stopTimer(tx, `routine.rinse.${id}`);
    });
    if (pressed.shown?.kind === 'routine.rinse') {
      const zone = (await read(store, (tx) => cafeById(tx, row.cafe)))?.zone ?? 'UTC';
      return { kind: 'redraw', message: message([words.in(pressed.locale)('routine.rinse.done', { name: pressed.by.name, time: clockTime(pressed.now, { locale: pressed.locale, zone }) })]) };
    }
    return redrawn(pressed, told);
  };

  /** Detergent left overnight ends in a cup: the first thing said before the next opening. */
  const chaseResidue = async (tx: Tx, row: Occurrence, now: Instant): Promise<void> => {
    const cafe = await cafeById(tx, row.cafe);
    const calendar = cafe && calendarOf(cafe);
    if (!cafe || !calendar) return;
    const { day } = dayAt(now, cafe.zone);
    const next = [0, 1, 2, 3, 4, 5, 6, 7].map((ahead) => momentOnDay(calendar, day + ahead, { kind: 'before-opening', minutes: 30 })).find((at) => at !== null && at > now);
    await setTimer(tx, ids, now, { key: `routine.rinse.${row.id}`, cafe: row.cafe, kind: 'routine.rinse', ref: row.id, at: next ?? later(now, hours(9)) });
  };

  const pressCant = async (pressed: Pressed): Promise<Answer> => {
    const say = words.in(pressed.locale);
    const id = pressed.press.ids[0] ?? '';
    const why = (reason: string) => button(say(`routine.cant.${reason}`), press('routine.cant-why', id, reason));
    return { kind: 'private', message: message([say('routine.cant')], [why('supplies'), why('time')], [why('broken'), why('not-shown')]) };
  };

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
    const say = words.in(pressed.locale);
    const id = pressed.press.ids[0] ?? '';
    const to = (when: string) => button(say(`routine.button.${when}`), press('routine.later-to', id, when));
    return { kind: 'private', message: message([say('routine.later')], [to('30'), to('quiet'), to('tomorrow')]) };
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
    const what: JobAct = at === undefined ? { kind: 'left over' } : { kind: 'later', until: at };
    const told = await act(cafe.id, id, open, what, by(pressed), pressed.now, undefined, async (tx) => {
      if (at !== undefined) await setTimer(tx, ids, pressed.now, { key: `routine.again.${id}`, cafe: cafe.id, kind: 'routine.again', ref: id, at });
    });
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

  const namesFor = (row: Occurrence, locale: string): readonly string[] => words.in(locale)(`routine.job.${row.job}.names`).split(', ');

  const readFor = (text: string, rows: readonly Occurrence[], locale: string, people: readonly string[]): Reply => {
    const languages = [...new Set([words.nearest(locale), 'en'])].filter((language) => lexicons.has(language));
    const named = (language: string) => rows.map((row) => ({ id: row.id, position: row.position, names: namesFor(row, language) }));
    const replies = languages.map((language) => readReply(text, lexicons.get(language) as Lexicon, named(language), people));
    return replies.find((reply) => reply.kind === 'done') ?? replies.find((reply) => reply.kind !== 'none') ?? { kind: 'none' };
  };

  const sayDone = async (said: Said, reminder: Reminder, reply: Extract<Reply, { kind: 'done' }>): Promise<Answer> => {
    const members = await read(store, (tx) => membersOf(tx, reminder.cafe));
    const named = reply.by === undefined ? undefined : members.find((member) => member.name === reply.by);
    const who: Who = reply.by === undefined ? by(said) : { person: named?.person ?? null, name: reply.by };
    const thanksKey = `thanks.${said.event}`;
    const told = await act(reminder.cafe, reminder.id, reply.jobs, { kind: 'done', checked: false }, who, said.now, undefined, async (tx, changed) => {
      const data: Thanks = { reminder: reminder.id, by: who.name, at: said.now, jobs: changed.map((row) => row.id) };
      for (const row of changed.filter(({ job }) => ending.has(job))) await tx.updateTable('occurrence').set({ reason: ASKED_IN_REPLY }).where('id', '=', row.id).where('state', '=', 'asked').execute();
      await post(tx, ids, said.now, { key: thanksKey, cafe: reminder.cafe, place: said.at, kind: 'routine.thanks', data, priority: 'answer' });
    });
    if (told.kind === 'changed') return { kind: 'noted' };
    const zone = (await read(store, (tx) => cafeById(tx, reminder.cafe)))?.zone ?? 'UTC';
    return { kind: 'say', message: told.kind === 'already' ? alreadySaid(said, zone, told) : message([words.in(said.locale)('routine.gone')]) };
  };

  /** Lists a typed answer can mean: the one replied to, else those open here. */
  const candidates = async (said: Said): Promise<readonly Reminder[]> => {
    const data = said.reply?.data as { reminder?: string } | undefined;
    const replied = data?.reminder;
    if (replied !== undefined) {
      const reminder = await read(store, (tx) => reminderById(tx, replied));
      return reminder ? [reminder] : [];
    }
    return said.reply ? [] : read(store, (tx) => openReminders(tx, said.cafes));
  };

  const confirm = (said: Said, reminder: Reminder): Message => {
    const say = words.in(said.locale);
    return message([say('routine.unsure')], [button(say('routine.button.all'), press('routine.done', reminder.id), 'main'), button(say('routine.button.not-yet'), press('routine.not-yet', reminder.id))]);
  };

  const nothingOpen = async (said: Said): Promise<Answer> => {
    const say = words.in(said.locale);
    const last = await read(store, (tx) => lastDone(tx, said.cafes));
    const zone = last && (await read(store, (tx) => cafeById(tx, last.cafe)))?.zone;
    const text = last && zone && last.done_at !== null ? say('routine.nothing-last', { job: say(`routine.job.${last.job}.short`), time: clockTime(instant(last.done_at), { locale: said.locale, zone }) }) : say('routine.nothing');
    return { kind: 'say', message: message([text]) };
  };

  const whichList = (said: Said, open: readonly (readonly [Reminder, string])[]): Message => {
    const say = words.in(said.locale);
    const label = ([reminder, zone]: readonly [Reminder, string]): string => `${say(`routine.moment-short.${reminder.moment}`)} ${clockTime(instant(reminder.due_at), { locale: said.locale, zone })}`;
    return message([say('routine.which')], open.slice(0, 4).map((one) => button(label(one), press('routine.done', one[0].id))));
  };

  const takeWords = async (said: Said): Promise<Answer | undefined> => {
    if (said.cafes.length === 0 || said.text === '') return undefined;
    const lists = await candidates(said);
    const rows = await read(store, async (tx) => (await Promise.all(lists.map((list) => occurrencesOf(tx, list.id)))).flat());
    const people = await read(store, async (tx) => (await Promise.all(said.cafes.map((cafe) => membersOf(tx, cafe)))).flat().map((member) => member.name));
    const reply = readFor(said.text, lists.length === 1 ? rows : [], said.locale, people);
    if (reply.kind === 'none') return undefined;
    const [first, second] = lists;
    if (!first) return reply.kind === 'done' ? nothingOpen(said) : undefined;
    if (!(await read(store, (tx) => mayIn(tx, first.cafe, said.by, 'answer')))) return { kind: 'say', message: message([words.in(said.locale)('chat.barOnly')]) };
    if (reply.kind === 'not done') return { kind: 'say', message: message([words.in(said.locale)('routine.not-done')]) };
    if (second) {
      const zones = await read(store, async (tx) => Promise.all(lists.map(async (list) => [list, (await cafeById(tx, list.cafe))?.zone ?? 'UTC'] as const)));
      return { kind: 'say', message: whichList(said, zones) };
    }
    if (reply.kind === 'unsure') return { kind: 'say', message: confirm(said, first) };
    return sayDone(said, first, reply);
  };

  const tickMark: TickMarkRoute = {
    kind: 'reminder',
    take: async (mark) => {
      if (!mark.given) return undefined;
      const id = (mark.shown.data as { reminder: string }).reminder;
      const cafe = await cafeFor(id);
      if (!cafe || !(await read(store, (tx) => mayIn(tx, cafe.id, mark.by, 'answer')))) return undefined;
      await act(cafe.id, id, undefined, { kind: 'done', checked: false }, by(mark), mark.now);
      return undefined;
    },
  };

  const timers: readonly TimerKind[] = [
    {
      kind: 'routine.close',
      fire: async (tx, { ref }, now) => {
        const reminder = await reminderById(tx, ref);
        if (!reminder) return;
        const rows = await occurrencesOf(tx, ref);
        await writeChanges(tx, rows.filter((row) => ['due', 'later', 'part done', 'asked'].includes(row.state)).map((row) => ({ id: row.id, to: 'left over' as const })), { person: null, name: '' }, now);
        await closeReminder(tx, ref);
        await redraw(tx, reminderKey(ref), now);
      },
    },
    {
      kind: 'routine.again',
      fire: async (tx, { ref }, now) => {
        const reminder = await reminderById(tx, ref);
        const rows = (await occurrencesOf(tx, ref)).filter((row) => row.state === 'later');
        if (!reminder || reminder.state === 'closed' || rows.length === 0) return;
        for (const row of rows) await tx.updateTable('occurrence').set({ state: 'due', later_until: null, done_at: null, by_name: null, by_person: null }).where('id', '=', row.id).execute();
        await post(tx, ids, now, { key: `again.${ref}.${now}`, cafe: reminder.cafe, place: placeId(reminder.place), kind: 'reminder', data: { reminder: ref }, priority: 'reminder', notAfter: later(now, hours(6)) });
        await redraw(tx, reminderKey(ref), now);
      },
    },
    {
      kind: 'routine.rinse',
      fire: async (tx, { ref }, now) => {
        const row = await occurrenceById(tx, ref);
        const cafe = row && (await cafeById(tx, row.cafe));
        if (!row || !cafe || cafe.place === null || row.state !== 'soaking') return;
        await post(tx, ids, now, { key: `rinse.${ref}`, cafe: cafe.id, place: placeId(cafe.place), kind: 'routine.rinse', data: { occurrence: ref }, priority: 'answer' });
      },
    },
  ];

  const notices: readonly NoticeKind[] = [
    { kind: 'reminder', show: ({ data }) => drawList((data as { reminder: string }).reminder) },
    { kind: 'routine.thanks', show: ({ data }) => drawThanks(data as Thanks) },
    {
      kind: 'routine.rinse',
      show: ({ data }) =>
        read(store, async (tx) => {
          const row = await occurrenceById(tx, (data as { occurrence: string }).occurrence);
          const cafe = row && (await cafeById(tx, row.cafe));
          if (!row || !cafe || row.state !== 'soaking') return undefined;
          const say = words.in(cafe.language);
          return message([line(say('routine.rinse.first', { what: say(`routine.job.${row.job}.residue`) }), 'strong'), say('routine.rinse.how')], [button(say('routine.rinse.rinsed'), press('routine.end', row.id, 'out'), 'main')]);
        }),
    },
    {
      kind: 'routine.away',
      show: ({ data }) =>
        read(store, async (tx) => {
          const away = data as { cafe: string; until: number; counts: Readonly<Record<string, number>> };
          const cafe = await cafeById(tx, away.cafe);
          if (!cafe) return undefined;
          const { say, reader } = showIn(cafe);
          const list = Object.entries(away.counts).map(([job, count]) => say('routine.away.job', { job: say(`routine.job.${job}.short`), count }));
          const cut = list.length > 4 ? [...list.slice(0, 4), '…'] : list;
          return message([say('routine.away.first', { time: clockTime(instant(away.until), reader) }), say('routine.away.jobs', { jobs: cut.join(', ') }), line(say('routine.away.last'), 'quiet')]);
        }),
    },
  ];

  const route = (kind: string, ack: PressRoute['ack'], take: PressRoute['take'], cafe = cafeOfReminder): PressRoute => ({ kind, ack, right: 'answer', cafe, take });

  return {
    presses: [
      route('routine.done', 'update', pressDone),
      route('routine.some', 'private', pressSome),
      route('routine.these', 'update', pressThese),
      route('routine.end', 'update', pressEnd, cafeOfOccurrence),
      route('routine.cant', 'private', pressCant),
      route('routine.cant-why', 'update', pressCantWhy),
      route('routine.later', 'private', pressLater),
      route('routine.later-to', 'update', pressLaterTo),
      route('routine.back', 'update', pressBack),
      route('routine.not-yet', 'update', async (pressed) => ({ kind: 'redraw', message: message([words.in(pressed.locale)('routine.not-done')]) })),
    ],
    words: [{ name: 'routine.reply', order: 20, take: takeWords }],
    tickMarks: [tickMark],
    notices,
    timers,
  };
};
