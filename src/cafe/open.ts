import type { Answer } from '../chat/incoming.ts';
import { message, type Message } from '../chat/message.ts';
import { closeDialogue, openDialogue } from '../store/dialogue.ts';
import { read, transact } from '../store/transact.ts';
import { choose, create, openCafe, start, welcome } from './begin.ts';
import { SET_UP_DIALOGUE, type Talk } from './conversation.ts';
import { isOneOf } from './fold.ts';
import { nameForm } from './form-view.ts';
import { addMember } from './members.ts';
import type { CafeNeeds } from './needs.ts';
import { cafeById, cafesOf, ownersOf } from './records.ts';
import type { CommandRoute, Here, Pressed, PressRoute, Said } from './subject.ts';
import { languageView } from './welcome-view.ts';

const within = async (needs: CafeNeeds, here: Here, cafes: readonly string[], work: (talk: Talk) => Promise<Message>): Promise<Message> => transact(needs.store, cafes, (tx) => work({ needs, tx, here }));

const languageOf = (needs: CafeNeeds, given: string | undefined): string => needs.words.nearest(given);

const claim = async (talk: Talk, id: string): Promise<Message> => {
  const { needs, tx, here } = talk;
  const cafe = await cafeById(tx, id);
  if (cafe && here.by.manages && cafe.space === (here.space ?? null) && (await ownersOf(tx, id)).length === 0)
    if (!(await addMember(tx, needs.ids, here.now, id, { person: here.by.id, name: here.by.name, role: 'owner', language: here.locale })))
      await tx.updateTable('member').set({ role: 'owner' }).where('cafe', '=', id).where('person', '=', here.by.id).execute();
  return openCafe(talk, id);
};

type Shape = { readonly kind: string; readonly ack?: 'update' | 'private'; readonly cafe?: true; readonly work: (talk: Talk, pressed: Pressed) => Promise<Message> };

/** Buttons before there is a café, or that look for the right one. Who may do what is checked inside. */
export const openRoutes = (needs: CafeNeeds): readonly PressRoute[] => {
  const shapes: readonly Shape[] = [
    { kind: 'cafe.open', ack: 'private', cafe: true, work: (talk, { press }) => openCafe(talk, press.ids[0] ?? '') },
    { kind: 'cafe.show', cafe: true, work: (talk, { press }) => openCafe(talk, press.ids[0] ?? '') },
    { kind: 'cafe.which', work: (talk, { picked }) => openCafe(talk, picked[0] ?? '') },
    { kind: 'cafe.claim', cafe: true, work: (talk, { press }) => claim(talk, press.ids[0] ?? '') },
    { kind: 'cafe.mine', work: async (talk) => choose(talk, await cafesOf(talk.tx, talk.here.by.id)) },
    { kind: 'cafe.welcome', work: (talk, { picked }) => welcome(talk, languageOf(needs, picked[0])) },
    { kind: 'cafe.dismiss', work: async ({ here }) => message([needs.words.in(here.locale)('cafe.left.change')]) },
    { kind: 'cafe.language', work: async (_talk, { press }) => languageView(needs.words.languages, needs.words.in(languageOf(needs, press.ids[0]))) },
    { kind: 'cafe.begun', work: (talk, { press, answers }) => create(talk, languageOf(needs, press.ids[0]), { name: answers['name']?.[0] ?? '', town: answers['town']?.[0] ?? '' }) },
  ];
  return [
    ...shapes.map(
      ({ kind, ack, cafe, work }): PressRoute => ({
        kind,
        ack: ack ?? 'update',
        right: 'anyone',
        take: async (pressed): Promise<Answer> => {
          const shown = await within(needs, pressed, cafe ? pressed.press.ids.slice(0, 1) : pressed.picked.slice(0, kind === 'cafe.which' ? 1 : 0), (talk) => work(talk, pressed));
          // The message on which one carries on is often for all to see; what follows is for one alone.
          return ack === 'private' ? { kind: 'private', message: shown } : { kind: 'redraw', message: shown };
        },
      }),
    ),
    {
      kind: 'cafe.begin',
      ack: 'form',
      right: 'anyone',
      take: async ({ press, by, locale }) => {
        const language = languageOf(needs, press.ids[0]);
        if (!by.manages) return { kind: 'private', message: message([needs.words.in(locale)('cafe.managersOnly'), needs.words.in(locale)('cafe.managersOnly.cure')]) };
        return { kind: 'form', form: nameForm({ kind: 'cafe.begun', ids: [language] }, {}, needs.words.in(language)) };
      },
    },
  ];
};

export const cafeCommand = (needs: CafeNeeds): CommandRoute => ({
  name: 'cafe',
  take: async (command) => {
    const cafes = await read(needs.store, async (tx) => (await cafesOf(tx, command.by.id)).map(({ id }) => id));
    return { kind: 'private', message: await within(needs, command, [...new Set([...command.cafes, ...cafes])], (talk) => start(talk)) };
  },
});

const askName = async (talk: Talk, language: string): Promise<Message> => {
  const { needs, tx, here } = talk;
  const say = needs.words.in(language);
  await openDialogue(tx, needs.ids, here.now, here.at, here.by.id, { kind: SET_UP_DIALOGUE, ref: `name.${language}`, cafe: null });
  return message([say('cafe.ask.name'), say('cafe.hint.name')]);
};

/** Words before there is a café: a yes to the beginning, then its name and town. */
export const beginning = (needs: CafeNeeds) => async (said: Said, ref: string): Promise<Answer | undefined> => {
  const [state, language = 'en'] = ref.split('.');
  const say = needs.words.in(language);
  if (state === 'welcome') {
    if (!isOneOf(said.text, `${say('cafe.words.start')}|${say('cafe.words.yes')}`)) return undefined;
    return { kind: 'say', message: await within(needs, said, [], (talk) => askName(talk, language)) };
  }
  if (isOneOf(said.text, say('cafe.words.leave')))
    return { kind: 'say', message: await within(needs, said, [], async ({ tx, here }) => {
      await closeDialogue(tx, here.at, SET_UP_DIALOGUE, here.by.id);
      return message([say('cafe.left.change')]);
    }) };
  const cut = said.text.lastIndexOf(',');
  const name = (cut < 0 ? said.text : said.text.slice(0, cut)).trim();
  if (said.text.length > 120 || name === '') return { kind: 'say', message: message([say('cafe.problem.name'), say('cafe.ask.name')]) };
  return { kind: 'say', message: await within(needs, said, [], (talk) => create(talk, language, { name, town: cut < 0 ? '' : said.text.slice(cut + 1) })) };
};
