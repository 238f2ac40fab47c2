import { line, message, type Message } from '../chat/message.ts';
import { isDirect } from '../chat/who.ts';
import { openDialogue } from '../store/dialogue.ts';
import { setTimer } from '../store/timers.ts';
import { shortened } from '../words/format.ts';
import { present, SET_UP_DIALOGUE, type Talk } from './conversation.ts';
import { NO_ZONE } from './facts.ts';
import { houseOf } from './house.ts';
import { NUDGE, nudgeKey } from './live.ts';
import { addMember } from './members.ts';
import { offerMove } from './move-here.ts';
import { nextMorning } from './nudge.ts';
import { pendingPlace, writePending } from './pending.ts';
import { guessPlace } from './place.ts';
import type { Note } from './question-view.ts';
import { regionNames } from './regions.ts';
import { cafesAt, cafesOf, ownersOf, type Cafe } from './records.ts';
import { mayIn } from './rights.ts';
import { readOnlyView } from './settings-view.ts';
import { claimView, welcomeView, whichView } from './welcome-view.ts';

/** What a person sees of one café: the open step or the settings for its owner, the facts for everyone else. */
export const openCafe = async (talk: Talk, id: string, note?: Note): Promise<Message> => {
  const { needs, tx, here } = talk;
  const house = await houseOf(tx, id);
  const say = needs.words.in(here.locale);
  if (!house) return message([say('cafe.gone')]);
  if (await mayIn(tx, id, here.by, 'own')) return present(talk, house, note);
  if (here.by.manages && house.cafe.space === (here.space ?? null) && (await ownersOf(tx, id)).length === 0) return claimView(house.cafe, say);
  return (await mayIn(tx, id, here.by, 'see')) ? readOnlyView(house, say, here.locale) : message([say('cafe.notYours')]);
};

/** The beginning of a set-up, for whoever manages the server. */
export const welcome = async ({ needs, tx, here }: Talk, language: string, problem?: string): Promise<Message> => {
  const say = needs.words.in(language);
  if (isDirect(here.at)) return message([say('cafe.inChannel')]);
  if (!here.by.manages) return message([say('cafe.managersOnly'), say('cafe.managersOnly.cure')]);
  await openDialogue(tx, needs.ids, here.now, here.at, here.by.id, { kind: SET_UP_DIALOGUE, ref: `welcome.${language}`, cafe: null });
  const shown = welcomeView(language, needs.words.languages, (await cafesOf(tx, here.by.id)).length > 0, say);
  return problem === undefined ? shown : { ...shown, lines: [line(say(problem)), ...shown.lines.slice(1)] };
};

/** One of several cafés, or the only one. */
export const choose = async (talk: Talk, cafes: readonly Cafe[]): Promise<Message> => {
  const [only] = cafes;
  return cafes.length === 1 && only ? openCafe(talk, only.id) : whichView(cafes, talk.needs.words.in(talk.here.locale));
};

/** What /cafe answers: the channel's café, else one's own, else the way to a new one. */
export const start = async (talk: Talk): Promise<Message> => {
  const { tx, here } = talk;
  const there = isDirect(here.at) ? [] : await cafesAt(tx, here.at);
  if (there.length > 0) return choose(talk, there);
  const move = await offerMove(talk);
  if (move) return move;
  const mine = await cafesOf(tx, here.by.id);
  return mine.length > 0 && !here.by.manages ? choose(talk, mine) : welcome(talk, talk.needs.words.nearest(here.locale));
};

const MOST = 60;

const tidy = (text: string): string => shortened(text.replace(/\s+/g, ' ').trim(), MOST);

/** Makes the draft of a café in this channel, with the one who gave its name as owner. One channel has one café. */
export const create = async (talk: Talk, language: string, given: { readonly name: string; readonly town: string }): Promise<Message> => {
  const { needs, tx, here } = talk;
  const name = tidy(given.name);
  if (isDirect(here.at) || !here.by.manages || name === '') return welcome(talk, language, name === '' ? 'cafe.problem.name' : undefined);
  // Two forms sent at once wait for each other here, so that the second finds the café of the first.
  await tx.insertInto('note').values({ key: `cafe.at.${here.at}`, value: '' }).onConflict((conflict) => conflict.doNothing()).execute();
  const [there] = await cafesAt(tx, here.at);
  if (there) return openCafe(talk, there.id);
  const id = needs.ids(here.now);
  const town = tidy(given.town);
  const guess = guessPlace(town, needs.countries, language, regionNames(needs.words.in(language)));
  await tx
    .insertInto('cafe')
    .values({
      id, name, town, zone: NO_ZONE, language, state: 'draft', exceptions: '[]', cleaning_before: 30, space: here.space ?? null, place: here.at, money: '{}',
      step: 'zone', pending: writePending(guess ? pendingPlace(guess) : null), loud_danger: 0, learn_together: 0, rev: 1, created_at: here.now,
    })
    .execute();
  await addMember(tx, needs.ids, here.now, id, { person: here.by.id, name: here.by.name, role: 'owner', language });
  await setTimer(tx, needs.ids, here.now, { key: nudgeKey(id), cafe: id, kind: NUDGE, ref: id, at: nextMorning(here.now, guess?.zone ?? NO_ZONE) });
  return openCafe(talk, id);
};
