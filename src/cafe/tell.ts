import type { Answer } from '../chat/incoming.ts';
import { message, type Message } from '../chat/message.ts';
import { redraw } from '../store/post.ts';
import { closeDialogue } from '../store/dialogue.ts';
import { read, transact } from '../store/transact.ts';
import { ask, type Talk } from './conversation.ts';
import { factOf, optionsOf, valueOf, type Fact } from './facts.ts';
import { factForm } from './form-view.ts';
import { houseOf, type House } from './house.ts';
import type { CafeNeeds } from './needs.ts';
import { writePending } from './pending.ts';
import { press } from '../chat/press.ts';
import { readAnswer } from './read-fact.ts';
import { known, unread, type Reading } from './reading.ts';
import { mayIn } from './rights.ts';
import type { DialogueKind, Pressed, PressRoute, Said, WordsRoute } from './subject.ts';
import { cafeOfPress } from './talking.ts';
import { noteAnswered, parseQuestion, postQuestion, QUESTION } from './weekly.ts';
import { weeklyView, type Weekly } from './weekly-view.ts';
import { writeFact } from './write-fact.ts';
import { textOf } from './take-press.ts';

type About = { readonly fact: Fact; readonly machine: string | null; readonly to: 'owner' | 'bar'; readonly key: string | undefined };

const view = ({ needs, here }: Talk, house: House, { fact, machine, to }: About): Message => {
  const weekly: Weekly = { house, fact, machine, to, countries: needs.countries };
  return weeklyView(weekly, needs.words.in(here.locale), here.locale);
};

const learn = async (talk: Talk, house: House, about: About, value: string): Promise<House> => {
  const { needs, tx, here } = talk;
  await writeFact({ tx, ids: needs.ids, now: here.now, countries: needs.countries, by: here.by.id }, about.fact, house, about.machine, value);
  if (house.cafe.state !== 'draft') await needs.onChanged(tx, house.cafe.id, here.now);
  await noteAnswered(needs, tx, here.now, house);
  return (await houseOf(tx, house.cafe.id)) ?? house;
};

const askBar = async (talk: Talk, house: House, { fact, machine }: About): Promise<Message> => {
  const { needs, tx, here } = talk;
  await postQuestion(needs, tx, here.now, house, { key: fact.key, machine, to: 'bar' }, `${QUESTION}.${house.cafe.id}.${fact.key}.${machine ?? ''}.${here.event}`);
  await noteAnswered(needs, tx, here.now, house);
  return message([needs.words.in(here.locale)('cafe.question.asked')]);
};

/** Hours and the like wait for a yes: from here on it is a change like any other. */
const checkFirst = async (talk: Talk, house: House, about: About, reading: Extract<Reading, { kind: 'check' }>): Promise<Message> => {
  await talk.tx.updateTable('cafe').set({ pending: writePending(reading.pending) }).where('id', '=', house.cafe.id).execute();
  const after = (await houseOf(talk.tx, house.cafe.id)) ?? house;
  return ask(talk, after, { mode: String(after.cafe.rev), fact: about.fact, machine: about.machine });
};

const notNow = async ({ needs, tx, here }: Talk, house: House): Promise<Message> => {
  await noteAnswered(needs, tx, here.now, house);
  return message([needs.words.in(here.locale)('cafe.question.later')]);
};

/** What is now to be shown; `shows`: the question's own message has come to its end. */
const hear = async (talk: Talk, house: House, about: About, reading: Reading): Promise<{ readonly message: Message; readonly done: boolean }> => {
  const { needs, here } = talk;
  if (valueOf(about.fact, house, about.machine) !== undefined) return { message: view(talk, house, about), done: true };
  switch (reading.kind) {
    case 'known':
      return { message: view(talk, await learn(talk, house, about, reading.value), about), done: true };
    case 'check':
      return { message: await checkFirst(talk, house, about, reading), done: false };
    case 'unread': {
      const shown = view(talk, house, about);
      const [question] = shown.lines;
      return { message: { ...shown, lines: [{ text: needs.words.in(here.locale)(`cafe.problem.${reading.why}`, reading.values) }, ...(question ? [question] : [])] }, done: false };
    }
    case 'skip':
    case 'back':
    case 'leave':
      return { message: await notNow(talk, house), done: false };
  }
};

const aboutOf = ({ press: { ids }, shown }: Pressed): About | undefined => {
  const [, key = '', , machine] = ids;
  const fact = factOf(key);
  return fact && { fact, machine: machine ?? null, to: parseQuestion(shown?.data)?.to ?? 'owner', key: shown?.kind === QUESTION ? shown.key : undefined };
};

const takeTold = async (needs: CafeNeeds, pressed: Pressed, readingOf: (talk: Talk, house: House, about: About) => Reading | 'ask-bar'): Promise<Answer> => {
  const cafe = pressed.press.ids[0] ?? '';
  const about = aboutOf(pressed);
  const say = needs.words.in(pressed.locale);
  return transact(needs.store, [cafe], async (tx): Promise<Answer> => {
    const talk: Talk = { needs, tx, here: pressed };
    const house = await houseOf(tx, cafe);
    if (!house || !about) return { kind: 'private', message: message([say('cafe.gone')]) };
    if (!about.fact.bar && !(await mayIn(tx, cafe, pressed.by, 'own'))) return { kind: 'private', message: message([say('chat.ownersOnly')]) };
    const reading = readingOf(talk, house, about);
    if (reading === 'ask-bar') return { kind: 'redraw', message: valueOf(about.fact, house, about.machine) === undefined ? await askBar(talk, house, about) : view(talk, house, about) };
    const { message: shown, done } = await hear(talk, house, about, reading);
    if (done) await closeDialogue(tx, pressed.at, QUESTION);
    const version = done && about.key !== undefined ? await redraw(tx, about.key, pressed.now, true) : undefined;
    return { kind: 'redraw', message: shown, ...(version !== undefined && about.key !== undefined ? { shows: { key: about.key, version } } : {}) };
  });
};

const readTold = (talk: Talk, house: House, { fact, machine }: About, text: string): Reading => {
  const { needs, here } = talk;
  return readAnswer(text, { fact, house, machine, pending: null, now: here.now, countries: needs.countries, languages: needs.words.languages, locale: here.locale }, needs.words.in(here.locale));
};

/** Buttons of a weekly question: for the owner, and for the bar where it can be told by looking. */
export const tellRoutes = (needs: CafeNeeds): readonly PressRoute[] => [
  {
    kind: 'cafe.tell',
    ack: 'update',
    right: 'answer',
    cafe: cafeOfPress,
    take: (pressed) =>
      takeTold(needs, pressed, (_talk, house, { fact }) => {
        const value = pressed.press.ids[2] ?? '';
        if (value === 'ask-bar') return value;
        if (value === 'not-now') return { kind: 'leave' };
        return optionsOf(fact, house, needs.countries).includes(value) ? known(value) : unread('choice');
      }),
  },
  {
    kind: 'cafe.tell-form',
    ack: 'form',
    right: 'answer',
    cafe: cafeOfPress,
    take: async (pressed): Promise<Answer> =>
      read(needs.store, async (tx) => {
        const about = aboutOf(pressed);
        const house = await houseOf(tx, pressed.press.ids[0] ?? '');
        const say = needs.words.in(pressed.locale);
        if (!about || !house) return { kind: 'private', message: message([say('cafe.gone')]) };
        return { kind: 'form', form: { ...factForm(about.fact, house, about.machine, [], say), submit: press('cafe.told', ...pressed.press.ids) } };
      }),
  },
  { kind: 'cafe.told', ack: 'update', right: 'answer', cafe: cafeOfPress, take: (pressed) => takeTold(needs, pressed, (talk, house, about) => readTold(talk, house, about, textOf(pressed.answers))) },
];

const takeSaid = async (needs: CafeNeeds, said: Said, key: string, cafe: string, data: unknown, sure: boolean): Promise<Answer | undefined> => {
  const question = parseQuestion(data);
  if (!question || said.text === '' || !said.readable) return undefined;
  return transact(needs.store, [cafe], async (tx): Promise<Answer | undefined> => {
    const talk: Talk = { needs, tx, here: said };
    const house = await houseOf(tx, cafe);
    const about: About = { ...question, key };
    if (!house || !(await mayIn(tx, cafe, said.by, question.fact.bar ? 'answer' : 'own'))) return undefined;
    const reading = readTold(talk, house, about, said.text);
    if (reading.kind === 'unread' && !sure) return undefined;
    const { message: shown, done } = await hear(talk, house, about, reading);
    if (reading.kind !== 'unread') await closeDialogue(tx, said.at, QUESTION);
    if (done) await redraw(tx, key, said.now);
    return { kind: 'say', message: shown };
  });
};

/** A reply to a weekly question. */
export const tellWords = (needs: CafeNeeds): WordsRoute => ({
  name: 'cafe.question',
  order: 30,
  take: async (said) => (said.reply?.kind === QUESTION && said.reply.cafe !== null ? takeSaid(needs, said, said.reply.key, said.reply.cafe, said.reply.data, true) : undefined),
});

/** Words in direct messages while a weekly question is open there; what does not answer it is left to the others. */
export const tellDialogue = (needs: CafeNeeds): DialogueKind => ({
  kind: QUESTION,
  take: async (said, { ref, cafe }) => {
    const row = await read(needs.store, (tx) => tx.selectFrom('outbox').select('data').where('key', '=', ref).executeTakeFirst());
    return row && cafe !== null ? takeSaid(needs, said, ref, cafe, JSON.parse(row.data) as unknown, false) : undefined;
  },
  again: async () => undefined,
});
