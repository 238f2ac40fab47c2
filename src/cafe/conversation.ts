import type { Message } from '../chat/message.ts';
import { closeDialogue, openDialogue } from '../store/dialogue.ts';
import type { Tx } from '../store/store.ts';
import type { Say } from '../words/catalogue.ts';
import { factOf, valueOf, type Fact } from './facts.ts';
import { houseOf, type House } from './house.ts';
import type { CafeNeeds } from './needs.ts';
import { pendingPlace, writePending, readPending, type Pending } from './pending.ts';
import { guessPlace } from './place.ts';
import { pendingFor, questionView, SET_UP, type Mode, type Note } from './question-view.ts';
import { readAnswer } from './read-fact.ts';
import { regionNames } from './regions.ts';
import type { Reading } from './reading.ts';
import { leftView, readyView } from './ready-view.ts';
import { maySkip, READY, stepAfter, stepBefore, stepsLeft } from './set-up.ts';
import { machineView, settingsView } from './settings-view.ts';
import type { Here } from './subject.ts';
import { notedNote } from './value-view.ts';
import { writeFact } from './write-fact.ts';

export const SET_UP_DIALOGUE = 'cafe.set-up';

/** A question in a café: of the set-up, or a change. */
export type Spot = { readonly mode: Mode; readonly fact: Fact; readonly machine: string | null };

export type Talk = { readonly needs: CafeNeeds; readonly tx: Tx; readonly here: Here };

/** The set-up speaks the language its owner chose; everything else the reader's. */
export const sayFor = ({ needs, here }: Talk, house: House): { readonly say: Say; readonly locale: string } => {
  const locale = house.cafe.state === 'draft' ? needs.words.nearest(house.cafe.language) : here.locale;
  return { say: needs.words.in(locale), locale };
};

const openWords = async ({ needs, tx, here }: Talk, cafe: string, ref: string): Promise<void> => openDialogue(tx, needs.ids, here.now, here.at, here.by.id, { kind: SET_UP_DIALOGUE, ref, cafe });

/** Asks one question, by buttons and for typed words. */
export const ask = async (talk: Talk, house: House, { mode, fact, machine }: Spot, note?: Note): Promise<Message> => {
  const { needs, here } = talk;
  const { say, locale } = sayFor(talk, house);
  await openWords(talk, house.cafe.id, mode === SET_UP ? SET_UP : `c.${fact.key}.${machine ?? ''}`);
  const pending = readPending(house.cafe.pending);
  return questionView({ house, mode, fact, machine, pending, now: here.now, countries: needs.countries, languages: needs.words.languages, ...(note ? { note } : {}) }, say, locale);
};

const ready = async (talk: Talk, house: House, note?: Note): Promise<Message> => {
  const { needs, tx, here } = talk;
  const { say, locale } = sayFor(talk, house);
  await openWords(talk, house.cafe.id, SET_UP);
  const tonight = await needs.tonight(tx, house.cafe.id, here.now, say);
  return readyView({ house, tonight, now: here.now, at: here.at, ...(note ? { note } : {}) }, say, locale);
};

const settings = async (talk: Talk, house: House, note?: Note, page = 0): Promise<Message> => {
  const { needs, tx, here } = talk;
  const { say, locale } = sayFor(talk, house);
  await closeDialogue(tx, here.at, SET_UP_DIALOGUE, here.by.id);
  const tonight = await needs.tonight(tx, house.cafe.id, here.now, say);
  return settingsView({ house, tonight, now: here.now, page, languages: needs.words.languages, countries: needs.countries, ...(note ? { note } : {}) }, say, locale);
};

/** Where the owner stands: the open step of the set-up, its summary, or what can be changed. */
export const present = async (talk: Talk, house: House, note?: Note, page = 0): Promise<Message> => {
  const { step, state } = house.cafe;
  if (state !== 'draft') return settings(talk, house, note, page);
  const fact = step === null ? undefined : factOf(step);
  return fact ? ask(talk, house, { mode: SET_UP, fact, machine: null }, note) : ready(talk, house, note);
};

/** Where one comes from: the page of the machine, or what `present` shows. */
const home = async (talk: Talk, house: House, { mode, machine }: Spot, note?: Note): Promise<Message> => {
  if (mode === SET_UP || machine === null || house.cafe.state === 'draft') return present(talk, house, note);
  const { say, locale } = sayFor(talk, house);
  await closeDialogue(talk.tx, talk.here.at, SET_UP_DIALOGUE, talk.here.by.id);
  return machineView(house, machine, note, say, locale);
};

const setPlace = async ({ tx }: Talk, id: string, change: { readonly step?: string; readonly pending?: Pending | null }): Promise<void> => {
  await tx
    .updateTable('cafe')
    .set({ ...(change.step === undefined ? {} : { step: change.step }), ...(change.pending === undefined ? {} : { pending: writePending(change.pending) }) })
    .where('id', '=', id)
    .execute();
};

const reread = async ({ tx }: Talk, id: string): Promise<House> => {
  const house = await houseOf(tx, id);
  if (!house) throw new Error(`the café ${id} went away inside a transaction`);
  return house;
};

/** A sentence of its own for some answers; else none in the set-up, and what was noted in a change. */
const noteOf = (talk: Talk, house: House, { mode, fact, machine }: Spot, value: string): Note | undefined => {
  const own = `cafe.note.${fact.key}.${value}`;
  if (talk.needs.words.has(own)) return { key: own };
  const { say, locale } = sayFor(talk, house);
  if (mode === SET_UP) return undefined;
  return notedNote(fact, house, machine, say, locale);
};

/** The town tells the zone, as a guess to be confirmed. */
const guessFor = ({ needs, here }: Talk, house: House): Pending | null => {
  const zone = factOf('zone');
  if (!zone || valueOf(zone, house) !== undefined) return null;
  const guess = guessPlace(house.cafe.town, needs.countries, here.locale, regionNames(needs.words.in(here.locale)));
  return guess ? pendingPlace(guess) : null;
};

const take = async (talk: Talk, house: House, spot: Spot, value: string): Promise<Message> => {
  const { needs, tx, here } = talk;
  const { fact, machine, mode } = spot;
  await writeFact({ tx, ids: needs.ids, now: here.now, countries: needs.countries, by: here.by.id }, fact, house, machine, value);
  const written = await reread(talk, house.cafe.id);
  const note = noteOf(talk, written, spot, value);
  const keepsPending = fact.key === 'cleaning' && readPending(house.cafe.pending)?.kind === 'hours';
  if (mode === SET_UP) {
    await setPlace(talk, house.cafe.id, { step: stepAfter(fact.key, written), ...(keepsPending ? {} : { pending: fact.key === 'name' ? guessFor(talk, written) : null }) });
    return present(talk, await reread(talk, house.cafe.id), note);
  }
  if (!keepsPending) await setPlace(talk, house.cafe.id, { pending: null });
  await needs.onChanged(tx, house.cafe.id, here.now);
  const after = await reread(talk, house.cafe.id);
  const hours = factOf('hours');
  return keepsPending && hours ? ask(talk, after, { mode: String(after.cafe.rev), fact: hours, machine: null }) : home(talk, after, spot, note);
};

const skip = async (talk: Talk, house: House, spot: Spot, why?: Note): Promise<Message> => {
  const { fact, mode, machine } = spot;
  if (mode !== SET_UP) return stepBack(talk, house, spot);
  if (!maySkip(fact, house, talk.needs.countries)) return ask(talk, house, spot, { key: 'cafe.problem.needed' });
  const known = valueOf(fact, house, machine) !== undefined;
  await setPlace(talk, house.cafe.id, { step: stepAfter(fact.key, house), pending: null });
  return present(talk, await reread(talk, house.cafe.id), why ?? (known ? undefined : noteOf(talk, house, spot, 'skip')));
};

const stepBack = async (talk: Talk, house: House, spot: Spot): Promise<Message> => {
  const { fact, mode } = spot;
  const inHand = pendingFor(fact, readPending(house.cafe.pending)) !== null;
  await setPlace(talk, house.cafe.id, { pending: fact.key === 'cleaning' ? readPending(house.cafe.pending) : null, ...(mode === SET_UP && !inHand ? { step: stepBefore(fact.key, house) } : {}) });
  return home(talk, await reread(talk, house.cafe.id), spot);
};

export const leave = async (talk: Talk, house: House): Promise<Message> => {
  const { say } = sayFor(talk, house);
  await closeDialogue(talk.tx, talk.here.at, SET_UP_DIALOGUE, talk.here.by.id);
  return leftView(house, house.cafe.state === 'draft' ? stepsLeft(house.cafe.step ?? READY, house) : 0, say);
};

/** Does what an answer means, and returns what is asked or shown next. `why`: said about a question that is left out. */
export const act = async (talk: Talk, house: House, spot: Spot, reading: Reading, why?: Note): Promise<Message> => {
  switch (reading.kind) {
    case 'known':
      return take(talk, house, spot, reading.value);
    case 'check':
      await setPlace(talk, house.cafe.id, { pending: reading.pending });
      return ask(talk, await reread(talk, house.cafe.id), spot, reading.note);
    case 'skip':
      return skip(talk, house, spot, why);
    case 'back':
      return stepBack(talk, house, spot);
    case 'leave':
      return leave(talk, house);
    case 'unread':
      return ask(talk, house, spot, { key: `cafe.problem.${reading.why}`, ...(reading.values ? { values: reading.values } : {}) });
  }
};

/** Another start of the cleaning, while the hours just read still wait for their yes. */
export const askCleaning = async (talk: Talk, house: House, mode: Mode): Promise<Message> => {
  const cleaning = factOf('cleaning');
  if (!cleaning) throw new Error('no fact cleaning');
  if (mode === SET_UP) await setPlace(talk, house.cafe.id, { step: 'cleaning' });
  return ask(talk, await reread(talk, house.cafe.id), { mode, fact: cleaning, machine: null });
};

/** What was typed at a question, by what waits for a yes there. */
export const readTyped = (talk: Talk, house: House, { fact, machine }: Spot, text: string): Reading => {
  const { needs, here } = talk;
  const { say, locale } = sayFor(talk, house);
  const pending = pendingFor(fact, readPending(house.cafe.pending)) ?? (fact.key === 'cleaning' ? readPending(house.cafe.pending) : null);
  return readAnswer(text, { fact, house, machine, pending, now: here.now, countries: needs.countries, languages: needs.words.languages, locale }, say);
};
