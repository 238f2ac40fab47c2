import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import type { Logger } from 'pino';
import { createBookings } from './bookings/bookings.ts';
import { findingsOf } from './bookings/findings.ts';
import { fittedAtVisit } from './bookings/fitted-at-visit.ts';
import { readParts, type PartsBook } from './bookings/bring.ts';
import { lastVisit, usualDelay } from './bookings/past-visits.ts';
import { bookingsTrace } from './bookings/traces.ts';
import { createCafe } from './cafe/cafe.ts';
import { cafeById } from './cafe/records.ts';
import { isRequest, readRequests, requestReader, type ReadRequest } from './cafe/requests.ts';
import { holidaysSoon } from './cafe/holiday-ask.ts';
import type { Countries } from './cafe/countries.ts';
import { readCountries } from './cafe/countries.ts';
import type { Subject } from './cafe/subject.ts';
import type { Chat } from './chat/port.ts';
import { releaseStale } from './delivery/outbox.ts';
import { createReach } from './delivery/reach.ts';
import { createRush } from './delivery/rush.ts';
import { createSender, type Sender } from './delivery/sender.ts';
import { createTick, type Tick } from './delivery/tick.ts';
import { createAsk } from './faults/ask.ts';
import type { Catalogue } from './faults/catalogue.ts';
import { readCatalogue } from './faults/catalogue-read.ts';
import { ageAnswers } from './faults/known-ages.ts';
import { personId } from './chat/who.ts';
import { createDanger } from './faults/danger.ts';
import { dangerInAny } from './faults/danger-words.ts';
import { createFinder, type Finder } from './faults/find.ts';
import type { Language } from './faults/find-language.ts';
import { readLanguages } from './faults/languages.ts';
import { barredBy, barredForAll, handsAt } from './faults/barred.ts';
import { faultsTrace } from './faults/traces.ts';
import { createSheet } from './reports/sheet.ts';
import { createNotices } from './notices.ts';
import { createRouter, type Router } from './router.ts';
import { createDone } from './routine/done.ts';
import { planDuties } from './routine/duties.ts';
import { createJobs } from './routine/jobs.ts';
import type { DoneNeeds } from './routine/list-desk.ts';
import { createPostDue } from './routine/post-due.ts';
import { routineTimes } from './routine/last-times.ts';
import { readLexicons, type Lexicon } from './routine/lexicons.ts';
import { createToday, tonight } from './routine/today.ts';
import { countersTrace, routineTrace } from './routine/traces.ts';
import { createReckoning } from './routine/counters.ts';
import { reckonSoon, type Forecast } from './routine/reckon.ts';
import { readUsual, type Usual } from './routine/usual.ts';
import { readRoutine, type Job } from './routine/standard.ts';
import { createCards } from './seals/card.ts';
import { readComplaints, type Complaints } from './seals/card-complaints.ts';
import { cardsTrace } from './seals/card-traces.ts';
import { readCards, type CardBook } from './seals/cards-read.ts';
import { sealConstants, type SealConstants } from './seals/constants.ts';
import { staffMayChange } from './seals/look-desk.ts';
import { closesIn, planFor, recordOf } from './seals/records.ts';
import { createSeals } from './seals/record-seals.ts';
import { questionPicture } from './seals/question-pictures.ts';
import { sealsTrace } from './seals/record-traces.ts';
import { sizesIn } from './seals/size-chances.ts';
import { memoryFiles, type Files } from './store/files.ts';
import type { Ids } from './store/id.ts';
import type { Store, Tx } from './store/store.ts';
import type { Clock } from './time/clock.ts';
import type { Instant } from './time/instant.ts';
import { createWords, readTexts, type Words } from './words/catalogue.ts';

/** Everything read from config/ at start. Throws BrokenConfig or BrokenWords, naming file, key and cure. */
export type Config = { readonly words: Words; readonly jobs: readonly Job[]; readonly lexicons: ReadonlyMap<string, Lexicon>; readonly requests: ReadRequest; readonly catalogue: Catalogue; readonly languages: ReadonlyMap<string, Language>; readonly finders: ReadonlyMap<string, Finder>; readonly countries: Countries; readonly cards: CardBook; readonly complaints: Complaints; readonly parts: PartsBook; readonly seals: SealConstants; readonly usual: Usual };

export const readConfig = (folder: string): Config => {
  const catalogue = readCatalogue(join(folder, 'faults'));
  const languages = readLanguages(join(folder, 'faults', 'phrases'));
  return {
    words: createWords(readTexts(join(folder, 'words'))),
    jobs: readRoutine(join(folder, 'routine.yaml')),
    usual: readUsual(join(folder, 'use.yaml')),
    lexicons: readLexicons(join(folder, 'replies')),
    requests: requestReader(readRequests(join(folder, 'requests'))),
    catalogue,
    languages,
    finders: new Map([...languages].map(([name, language]) => [name, createFinder(language, catalogue.symptoms.map(({ id }) => id))])),
    countries: readCountries(join(folder, 'countries.yaml')),
    parts: readParts(join(folder, 'parts.yaml')),
    cards: readCards(join(folder, 'cards'), []),
    complaints: readComplaints(join(folder, 'complaints.yaml'), catalogue.symptoms.map(({ id }) => id)),
    seals: sealConstants(readFileSync(join(folder, 'seals.yaml'), 'utf8'), join(folder, 'seals.yaml')),
  };
};

export type Parts = { readonly store: Store; readonly chat: Chat; readonly clock: Clock; readonly log: Logger; readonly ids: Ids; readonly config: Config; readonly files?: Files; readonly pace?: () => Promise<void> };

export type Bot = {
  readonly router: Router;
  readonly sender: Sender;
  readonly tick: Tick;
  readonly subjects: readonly Subject[];
  /** Takes up what a process that ended had begun to send; called once, before anything else is sent. */
  readonly resume: () => Promise<void>;
  /** What a café needs when it goes live or changes: its duties and their dates. */
  readonly onLive: (tx: Tx, cafeId: string, now: Instant) => Promise<void>;
};

/** Cards at whose end a seal sits anew. */
const SEAL_CARDS: readonly string[] = ['seal-screw', 'seal-press', 'seal-block', 'refit-seal', 'other-size'];

/** What such a card answers by being done; the ring is new unless the old one was refitted. */
const sealedAnswers = (card: string): readonly { readonly question: string; readonly answer: string }[] =>
  [{ question: 'recent-change', answer: 'seal' }, ...(card === 'refit-seal' ? [] : [{ question: 'seal-age', answer: 'new' }])];

/** The answer of a last check that the handle stands where it may blow out: the group is left alone. */
const FAR_LEFT = 'far-left';

/** How long a test message is waited for before it is called under way, in milliseconds. */
const LONGEST_TEST = 2000;

/** The whole bot but for the chat it talks through and the process it lives in. */
export const assemble = ({ store, chat, clock, log, ids, config, pace, files = memoryFiles() }: Parts): Bot => {
  const { words, jobs, lexicons, requests, catalogue, languages, finders, countries, cards: book, complaints, parts, seals: constants, usual } = config;
  const onLive = async (tx: Tx, cafeId: string, now: Instant): Promise<void> => {
    await planDuties(tx, ids, jobs, usual, cafeId, now);
    await holidaysSoon(tx, ids, cafeId, now);
  };

  const dangerFor = (text: string, locale: string) => dangerInAny(text, languages.get(words.nearest(locale)), [...languages.values()]);
  const danger = createDanger({
    store, words, ids,
    find: dangerFor,
    groupIn: (text, locale) => [finders.get(words.nearest(locale)), ...finders.values()].flatMap((finder) => finder?.group(text) ?? [])[0] ?? null,
    askTechnician: (tx, told, now) => bookings.urgent(tx, told, now),
    tellTechnician: (tx, told, now) => bookings.dangerMoved(tx, told.id, now),
    putAside: (tx, cafeId, machine, but, now) => ask.putAside(tx, cafeId, machine, but, now),
    openTaste: (here, cafeId) => ask.openTaste(here, cafeId),
  });
  const ask = createAsk({
    store, words, ids, files, catalogue, finders, raise: danger.raise, isRequest: (text) => isRequest(requests, text),
    recordsFor: (tx, at, machine, group, now) => seals.recordsFor(tx, at, machine, group, now),
    answersFor: async (tx, at, machine, group, now) => [
      ...(await seals.answersFor(tx, at, machine, group, now)),
      ...ageAnswers({ ...(await routineTimes(tx, at.id, machine.id)), visit: await lastVisit(tx, machine.id) }, now),
    ],
    pictureFor: questionPicture,
    closesLeft: async (tx, machine, group) => closesIn(await recordOf(tx, machine), group) === 'left',
    technicianIn: usualDelay,
    foundIn: findingsOf,
    fixed: (tx, caseId, now) => bookings.fixed(tx, caseId, now),
    barredJobs: async (tx, { id }, asker, now) => {
      const hands = await handsAt(tx, id, asker);
      return barredForAll(await Promise.all(hands.map(async (person) => barredBy(catalogue, await cards.offers(tx, id, { id: person, name: '', roles: [], manages: false }, now)))));
    },
  });
  const cafe = createCafe({
    store, words, ids, countries, requests, onLive, onChanged: onLive, tonight: tonight(jobs), traces: [routineTrace, countersTrace, faultsTrace, cardsTrace, sealsTrace, bookingsTrace],
    drain: () => Promise.race([sender.drain(), pause(LONGEST_TEST, undefined, { ref: false })]),
  });
  const seals = createSeals({
    store, words, ids, constants, jobs, lexicons, requests,
    groupOut: (tx, machine, group, out) => danger.groupOut(tx, machine, group, out),
    caseFor: (tx, seen, now) => ask.openSeen(tx, { ...seen, symptom: 'seal-look' }, now),
    askBooking: (pressed, caseId) => bookings.askFor(pressed, caseId),
    moved: (tx, cafeId, now) => reckonSoon(tx, ids, cafeId, now),
  });
  const cards = createCards({
    store, words, ids, book, lexicons, complaints,
    finished: async (tx, { cardRun, cafe: cafeId, caseId, job, card, machine, group, result, answer, when, by, now }) => {
      const here = await cafeById(tx, cafeId);
      // A handle that slips under a new seal: the group stands still, and the steps come at once.
      if (result === 'danger' && answer !== null && here && group !== null && SEAL_CARDS.includes(card)) {
        await danger.groupOut(tx, machine, group, true);
        if (by.person !== null) await danger.raise(tx, { cafe: here, machine, group, kind: 'pressure', act: 'group-out', by: { id: personId(by.person), name: by.name }, caseId, text: words.in(here.language)(`cards.answer.${answer}`) }, now);
      }
      if (result === 'cured' && when === 'end' && group !== null && (card === 'group-out' || caseId !== null)) await danger.groupOut(tx, machine, group, card === 'group-out');
      if (card === 'rinse-detergent' && result === 'cured' && when === 'end') await danger.rinsed(tx, machine, now);
      if (SEAL_CARDS.includes(card) && when === 'end' && group !== null && result === 'cured') await seals.renewed(tx, machine, group, now);
      if (SEAL_CARDS.includes(card) && when === 'end' && group !== null && answer !== null && result !== 'danger') {
        const leaked = caseId !== null && (await tx.selectFrom('fault_case').select('symptom').where('id', '=', caseId).executeTakeFirst())?.symptom === 'leak-at-rim';
        await seals.changed(tx, { cafe: cafeId, machine, group, leaked, refitted: card === 'refit-seal', key: cardRun }, now);
      }
      // A handle that may blow out, or a part that is stuck half-way: that group is left alone until somebody has seen to it.
      if (group !== null && result === 'book' && (answer === FAR_LEFT || answer === null)) await danger.groupOut(tx, machine, group, true);
      // A group that stands still is not cured: its questions stay open.
      if (card !== 'group-out' && caseId !== null && when === 'end' && (result === 'cured' || result === 'better' || result === 'same')) await ask.tried(tx, caseId, job, result, by, now);
    },
    // With a case the questions that brought the card go on with what is known; without one they begin from where it stands.
    wrong: async (tx, { caseId, danger: isDanger, failed, card, cafe: cafeId, machine, group, job, step, head, complaints: likely, state, place, by, now }) => {
      if (caseId !== null) await ask.refresh(tx, caseId, now);
      if (caseId !== null || isDanger) return caseId;
      const sealed = failed && SEAL_CARDS.includes(card);
      const here = await cafeById(tx, cafeId);
      const text = failed || !here ? head : words.in(here.language)('cards.for-technician.step', { head, step });
      return ask.fromCard(tx, { cafe: cafeId, machine, group, complaints: sealed ? ['leak-at-rim'] : likely, tried: failed ? job : null, answers: sealed ? sealedAnswers(card) : [], state, text, place, by }, now);
    },
    forTechnician: (tx, { stuck, answer, card, ...told }, now) =>
      ask.openSeen(tx, { ...told, symptom: stuck ? 'card-stuck' : told.like, out: answer === FAR_LEFT || stuck, answers: (answer === FAR_LEFT ? [{ question: 'handle-position', answer: 'far-left' }, ...sealedAnswers(card)] : []).map((each) => ({ ...each, at: now })) }, now),
    askBooking: (pressed, caseId) => bookings.askFor(pressed, caseId),
    whichDanger: (locale) => danger.whichKind(locale),
  });
  const bookings = createBookings({ store, words, ids, files, catalogue, parts, requests, dangerIn: (locale, text) => dangerFor(text, locale), refreshCase: ask.refresh, free: danger.free, groupBack: (tx, machine, group) => danger.groupOut(tx, machine, group, false), onFitted: fittedAtVisit(ids), sizesOf: sizesIn(constants), leadRange: constants.lead });
  /** A seal that is planned already, or that is the technician's, is not put on a list besides. */
  const forecast: Forecast = async (tx, at, machine, group, now) => (!staffMayChange(machine) || (await planFor(tx, machine.id, group)) ? undefined : seals.forecastFor(tx, at, machine, group, now));
  const fitted: NonNullable<DoneNeeds['done']> = async (tx, row, now) => {
    if (row.job === 'seal-change' && row.machine !== null && row.group_number !== null) await seals.changed(tx, { cafe: row.cafe, machine: row.machine, group: row.group_number, leaked: false, key: row.id }, now);
  };
  const subjects: readonly Subject[] = [cafe, createDone({ store, words, ids, files, jobs, lexicons, done: fitted }), createReckoning({ store, words, ids, jobs, usual, forecast, toOrder: (tx, at, now) => seals.toOrder(tx, at, now) }), createJobs({ store, words, ids, jobs, requests }), createToday({ store, words, ids, jobs, lexicons, requests, done: fitted }), danger, ask, seals, cards, bookings, createSheet({ store, words, jobs })];

  const reach = createReach({ store, words, ids, clock, log, lost: bookings.lost });
  const sender = createSender({ store, chat, clock, log, show: createNotices([...subjects, { notices: [reach.notice] }], clock), refused: reach.refused, arrived: reach.arrived, waits: createRush(store), ...(pace ? { pace } : {}) });
  const router = createRouter({ store, words, ids, clock, log, subjects, wake: sender.wake });
  const timers = new Map(subjects.flatMap((subject) => subject.timers ?? []).map((kind) => [kind.kind, kind]));
  const tick = createTick({ store, log, timers, fireDuties: createPostDue(ids, jobs, danger.stillOff) });
  const resume = (): Promise<void> => releaseStale(store, clock.now(), store.dialect === 'embedded');
  return { router, sender, tick, subjects, resume, onLive };
};
