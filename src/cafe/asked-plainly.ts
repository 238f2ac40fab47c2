import type { Answer } from '../chat/incoming.ts';
import { message, type Message } from '../chat/message.ts';
import { transact } from '../store/transact.ts';
import { act, present, readTyped, type Spot, type Talk } from './conversation.ts';
import { factOf } from './facts.ts';
import { folded } from './fold.ts';
import { houseOf, type House } from './house.ts';
import type { CafeNeeds } from './needs.ts';
import { showPeople } from './people-page.ts';
import { informed, type Request, type RequestKind } from './requests.ts';
import { mayIn } from './rights.ts';
import { openSetting } from './settings.ts';
import { ADD_MACHINE } from './settings-view.ts';
import { WHICH_CAFE, type Said, type WhichCafe, type WordsRoute } from './subject.ts';
import { factLine } from './value-view.ts';

const LINE = 64;

/** What only the owner changes. */
const CHANGES: readonly RequestKind[] = ['closed', 'hours', 'machine', 'people', 'reminders', 'night', 'moved'];

/** Where to switch off, and whom to call: asked by whoever stands at the machine. */
const safetyView = ({ needs, here }: Talk, house: House): Message => {
  const say = needs.words.in(here.locale);
  const fact = (key: string): string => factLine(key, house, say, here.locale);
  const [technician] = house.technicians;
  const emergency = fact('emergency');
  const both = technician?.telephone == null ? emergency : `${emergency}. ${technician.name}: ${technician.telephone}`;
  return message([fact('switch'), fact('breaker'), fact('tap'), both.length <= LINE ? both : emergency]);
};

const spotAt = (house: House, key: 'closures' | 'zone'): Spot => {
  const fact = factOf(key);
  if (!fact) throw new Error(`no fact ${key}`);
  return { mode: String(house.cafe.rev), fact, machine: null };
};

/** Days that can be read, a name of this café: "the tap is closed" and "water left in the tray" are about something else. */
const isMeant = (talk: Talk, house: House, { does, rest }: Request): boolean => {
  if (rest === '') return true;
  if (does === 'closed') return readTyped(talk, house, spotAt(house, 'closures'), rest).kind === 'known';
  // The clock there is asked about: a town that is known is enough here.
  if (does === 'moved') return readTyped(talk, house, spotAt(house, 'zone'), rest).kind === 'check';
  return does === 'people' && house.members.some((member) => folded(member.name).split(' ')[0] === folded(rest));
};

const change = async (talk: Talk, house: House, { does, rest }: Request): Promise<Message | undefined> => {
  switch (does) {
    case 'closed': {
      const spot = spotAt(house, 'closures');
      return rest === '' ? openSetting(talk, house, 'closures') : act(talk, house, spot, readTyped(talk, house, spot, rest));
    }
    case 'hours':
      return openSetting(talk, house, 'hours');
    case 'machine':
      return openSetting(talk, house, ADD_MACHINE);
    case 'people':
      return showPeople(talk, house);
    case 'reminders':
      return present(talk, house);
    case 'night':
      return openSetting(talk, house, 'night');
    case 'moved':
      return rest === '' ? openSetting(talk, house, 'zone') : act(talk, house, spotAt(house, 'zone'), readTyped(talk, house, spotAt(house, 'zone'), rest));
    case 'today':
    case 'lately':
    case 'job':
    case 'record':
    case 'visits':
    case 'safety':
    case 'jobs':
      return undefined;
  }
};

const inOneCafe = async (needs: CafeNeeds, said: Said, work: (talk: Talk, house: House) => Promise<Message | undefined>): Promise<Answer | WhichCafe | undefined> => {
  const [id] = said.cafes;
  if (id === undefined) return undefined;
  if (said.cafes.length > 1) return WHICH_CAFE;
  const shown = await transact(needs.store, [id], async (tx): Promise<Message | undefined> => {
    const house = await houseOf(tx, id);
    return house && house.cafe.state !== 'draft' && (await mayIn(tx, id, said.by, 'see')) ? work({ needs, tx, here: said }, house) : undefined;
  });
  return shown && { kind: 'say', message: shown };
};

/** What is asked for in plain words of the café itself: where to switch off; for the owner days closed, hours, people, another machine. */
export const askedPlainly = (needs: CafeNeeds): readonly WordsRoute[] => [
  ...informed('cafe.safety', 'safety', needs.requests, (said) => inOneCafe(needs, said, async (talk, house) => safetyView(talk, house))),
  {
    name: 'cafe.changed',
    order: 55,
    take: async (said) => {
      const request = said.addressed && said.readable ? needs.requests(said.text) : undefined;
      if (!request || !CHANGES.includes(request.does)) return undefined;
      return inOneCafe(needs, said, async (talk, house) => {
        if (!isMeant(talk, house, request)) return undefined;
        return (await mayIn(talk.tx, house.cafe.id, said.by, 'own')) ? change(talk, house, request) : message([needs.words.in(said.locale)('chat.ownersOnly')]);
      });
    },
  },
];
