import { calendarOf } from '../cafe/calendar.ts';
import type { CafeHours } from '../cafe/hours.ts';
import { cafeById, machinesOf, type Cafe } from '../cafe/records.ts';
import { mayIn } from '../cafe/rights.ts';
import { WHICH_CAFE, type Here, type Pressed, type Said, type Subject, type WhichCafe } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message, type Message } from '../chat/message.ts';
import { read, transact } from '../store/transact.ts';
import type { Store, Tx } from '../store/store.ts';
import { instant } from '../time/instant.ts';
import type { Words } from '../words/catalogue.ts';
import { askLower, askMachine, askMuch, notedMessage, type CounterShow } from './counter-views.ts';
import { setDates } from './dates.ts';
import { readCounter, type CounterWords } from './read-counter.ts';
import { nudgeNotice, nudgeTimer } from './nudge.ts';
import { insertReading, knownUse, readingById, readingsOf, setReading, type CounterReading } from './readings.ts';
import { reckonTimer, type ReckonNeeds } from './reckon.ts';
import { dutiesOf } from './records.ts';
import { judge, type Counter } from './use.ts';
import { perDayOf } from './usual.ts';

export type CounterNeeds = ReckonNeeds & { readonly store: Store; readonly words: Words };

/** What counters say, typed in words, and the dates that follow from it. */
export const createReckoning = (needs: CounterNeeds): Subject => {
  const { store, words, ids, jobs, usual } = needs;

  const wordsIn = (locale: string): CounterWords => {
    const named = (counter: Counter): readonly string[] => [...new Set([locale, 'en'].flatMap((each) => words.in(each)(`routine.counter.words.${counter}`).split('|')))];
    return { coffees: named('coffees'), litres: named('litres'), kg: named('kg') };
  };

  const showIn = (here: Here, cafe: Cafe): CounterShow => ({ say: words.in(here.locale), reader: { locale: words.nearest(here.locale), zone: cafe.zone } });

  /** The first job by use that this counter moves. */
  const nextBy = async (tx: Tx, row: CounterReading): Promise<{ readonly job: string; readonly at: ReturnType<typeof instant> } | undefined> => {
    const [first] = (await dutiesOf(tx, row.cafe)).filter((duty) => duty.use_unit === row.counter && duty.next_due !== null && (row.machine === null || duty.machine === null || duty.machine === row.machine)).sort((a, b) => (a.next_due ?? 0) - (b.next_due ?? 0));
    return first && { job: first.job, at: instant(first.next_due ?? 0) };
  };

  const settle = async (tx: Tx, here: Here, cafe: Cafe, row: CounterReading): Promise<Message> => {
    await setDates(tx, jobs, usual, cafe, calendarOf(cafe), here.now, true);
    return notedMessage(showIn(here, cafe), row, await nextBy(tx, row));
  };

  const weigh = async (tx: Tx, here: Here, cafe: Cafe, calendar: CafeHours | null, row: CounterReading): Promise<Message> => {
    const machines = (await machinesOf(tx, cafe.id)).length;
    const before = (await readingsOf(tx, cafe.id)).filter((each) => each.counter === row.counter && each.machine === row.machine);
    const known = knownUse(cafe, before, row.machine, machines);
    const counter = row.counter as Counter;
    const judged = calendar ? judge(row.value, instant(row.at), known.readings[counter], perDayOf(counter, usual, { ...known, readings: { coffees: [], litres: [], kg: [] } }, calendar), calendar) : { kind: 'fine' as const };
    const show = showIn(here, cafe);
    switch (judged.kind) {
      case 'lower':
        return askLower(show, row, judged.than, instant(before.at(-1)?.at ?? row.at));
      case 'much':
        return askMuch(show, row, judged.perDay);
      case 'fine':
        await setReading(tx, row.id, { state: 'counts' });
        return settle(tx, here, cafe, row);
    }
  };

  const take = async (said: Said): Promise<Answer | WhichCafe | undefined> => {
    if (!said.readable) return undefined;
    const heard = readCounter(said.text, wordsIn(said.locale));
    const [id] = said.cafes;
    if (!heard || id === undefined) return undefined;
    if (said.cafes.length > 1) return WHICH_CAFE;
    return transact(store, [id], async (tx): Promise<Answer | undefined> => {
      const cafe = await cafeById(tx, id);
      if (!cafe || cafe.state === 'draft' || !(await mayIn(tx, id, said.by, 'answer'))) return undefined;
      const machines = await machinesOf(tx, id);
      const which = heard.counter !== 'kg' && machines.length > 1;
      const row: CounterReading = { id: ids(said.now), cafe: id, machine: heard.counter === 'kg' || which ? null : (machines[0]?.id ?? null), counter: heard.counter, value: heard.value, anew: 0, state: 'asked', by_person: said.by.id, by_name: said.by.name, at: said.now };
      await insertReading(tx, row);
      return { kind: 'say', message: which ? askMachine(showIn(said, cafe), row, machines) : await weigh(tx, said, cafe, calendarOf(cafe), row) };
    });
  };

  const dropLast = async (tx: Tx, row: CounterReading): Promise<void> => {
    const last = (await readingsOf(tx, row.cafe)).findLast((each) => each.counter === row.counter && each.machine === row.machine && each.id !== row.id);
    if (last) await setReading(tx, last.id, { state: 'dropped' });
  };

  const pressed = async (given: Pressed): Promise<Answer> => {
    const [id = '', how = '', machine] = given.press.ids;
    const found = await read(store, (tx) => readingById(tx, id));
    const gone: Answer = { kind: 'redraw', message: message([words.in(given.locale)('chat.tooOld')]) };
    if (!found) return gone;
    return transact(store, [found.cafe], async (tx): Promise<Answer> => {
      const row = await readingById(tx, id);
      const cafe = await cafeById(tx, found.cafe);
      if (!row || !cafe) return gone;
      const show = (shown: Message): Answer => ({ kind: 'redraw', message: shown });
      if (how === 'slip' || how === 'back') {
        await setReading(tx, id, { state: 'dropped' });
        await setDates(tx, jobs, usual, cafe, calendarOf(cafe), given.now, true);
        return show(message([words.in(given.locale)('routine.counter.dropped')]));
      }
      if (row.state !== 'asked') return show(notedMessage(showIn(given, cafe), row, await nextBy(tx, row)));
      if (how === 'machine' && (await machinesOf(tx, cafe.id)).some((each) => each.id === machine)) {
        await setReading(tx, id, { machine: machine ?? null });
        return show(await weigh(tx, given, cafe, calendarOf(cafe), { ...row, machine: machine ?? null }));
      }
      if (how === 'earlier') {
        await dropLast(tx, row);
        return show(await weigh(tx, given, cafe, calendarOf(cafe), row));
      }
      await setReading(tx, id, { state: 'counts', anew: how === 'anew' ? 1 : 0 });
      return show(await settle(tx, given, cafe, row));
    });
  };

  return {
    words: [{ name: 'routine.counter', order: 19, take }],
    presses: [{ kind: 'counter', ack: 'update', right: 'answer', cafe: async (tx, given) => (await readingById(tx, given.ids[0] ?? ''))?.cafe, take: pressed }],
    timers: [reckonTimer(needs), nudgeTimer(ids)],
    notices: [nudgeNotice(store, words)],
  };
};

