import type { Answer } from '../chat/incoming.ts';
import type { Message } from '../chat/message.ts';
import { read, transact } from '../store/transact.ts';
import type { Say } from '../words/catalogue.ts';
import { start } from './begin.ts';
import type { Talk } from './conversation.ts';
import { FACTS } from './facts.ts';
import { folded, isOneOf } from './fold.ts';
import { showHelp } from './help.ts';
import { houseOf, type House } from './house.ts';
import { showMyData } from './my-data.ts';
import type { CafeNeeds } from './needs.ts';
import { addNames, showPeople } from './people-page.ts';
import { cafesOf } from './records.ts';
import { mayIn } from './rights.ts';
import { openSetting } from './settings.ts';
import type { Said, WordsRoute } from './subject.ts';

const asSaid = (message: Message | undefined): Answer | undefined => message && { kind: 'say', message };

/** The fact that "change the hours" names; the set-up itself is not changed by name. */
const factNamed = (needs: CafeNeeds, text: string, say: Say): string | undefined => {
  const [verb = '', ...rest] = folded(text).split(' ');
  if (!say('cafe.words.change').split('|').includes(verb)) return undefined;
  const articles = say('cafe.words.the').split('|');
  const named = rest.filter((word, i) => !(i === 0 && articles.includes(word))).join(' ');
  return FACTS.find(({ key }) => isOneOf(named, say(`cafe.fact.${key}`)) || (needs.words.has(`cafe.also.${key}`) && isOneOf(named, say(`cafe.also.${key}`))))?.key;
};

/** The one café here that this person owns and that is at work. */
const ownHere = async (needs: CafeNeeds, said: Said): Promise<string | undefined> =>
  read(needs.store, async (tx) => {
    const mine: string[] = [];
    for (const id of said.cafes) if (await mayIn(tx, id, said.by, 'own')) mine.push(id);
    return mine.length === 1 ? mine[0] : undefined;
  });

const inOwnCafe = async (needs: CafeNeeds, said: Said, work: (talk: Talk, house: House) => Promise<Message | undefined>): Promise<Message | undefined> => {
  const id = await ownHere(needs, said);
  if (id === undefined) return undefined;
  return transact(needs.store, [id], async (tx) => {
    const house = await houseOf(tx, id);
    return house && house.cafe.state !== 'draft' ? work({ needs, tx, here: said }, house) : undefined;
  });
};

const startHere = async (needs: CafeNeeds, said: Said): Promise<Message> => {
  const cafes = await read(needs.store, async (tx) => (await cafesOf(tx, said.by.id)).map(({ id }) => id));
  return transact(needs.store, [...new Set([...said.cafes, ...cafes])], (tx) => start({ needs, tx, here: said }));
};

const hasDraft = async (needs: CafeNeeds, said: Said): Promise<boolean> => read(needs.store, async (tx) => (await cafesOf(tx, said.by.id)).some(({ state }) => state === 'draft'));

/** The commands in plain words, when the bot is meant: set-up, changes, people, names, data, help. */
export const cafeWords = (needs: CafeNeeds): readonly WordsRoute[] => {
  const route = (name: string, order: number, take: (said: Said, say: Say) => Promise<Message | undefined>): WordsRoute => ({
    name,
    order,
    take: async (said) => (said.addressed && said.readable && said.text !== '' ? asSaid(await take(said, needs.words.in(said.locale))) : undefined),
  });
  return [
    route('cafe.set-up', 40, async (said, say) => (isOneOf(said.text, say('cafe.words.setUp')) ? startHere(needs, said) : undefined)),
    route('cafe.change', 40, async (said, say) => {
      const key = factNamed(needs, said.text, say);
      return key === undefined ? undefined : inOwnCafe(needs, said, (talk, house) => openSetting(talk, house, key));
    }),
    route('cafe.names', 40, async (said) => (/^\s*names?\s*:/i.test(said.text) ? inOwnCafe(needs, said, (talk, house) => addNames(talk, house, said.text)) : undefined)),
    route('cafe.people', 45, async (said, say) => (isOneOf(said.text, say('cafe.words.people')) ? inOwnCafe(needs, said, (talk, house) => showPeople(talk, house)) : undefined)),
    route('cafe.my-data', 40, async (said, say) => (isOneOf(said.text, say('cafe.words.myData')) ? showMyData(needs, said) : undefined)),
    route('cafe.help', 40, async (said, say) => (isOneOf(said.text, say('cafe.words.help')) ? showHelp(needs, said) : undefined)),
    route('cafe.carry-on', 60, async (said, say) => (isOneOf(said.text, say('cafe.words.carryOn')) && (await hasDraft(needs, said)) ? startHere(needs, said) : undefined)),
  ];
};
