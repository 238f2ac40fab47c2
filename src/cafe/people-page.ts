import type { Answer } from '../chat/incoming.ts';
import { message, type Form, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { personId } from '../chat/who.ts';
import type { Say } from '../words/catalogue.ts';
import { listed, shortened } from '../words/format.ts';
import { sayFor, type Talk } from './conversation.ts';
import { houseOf, type House } from './house.ts';
import { addMember, removeMember, setRole, type MemberRole, type RoleChange } from './members.ts';
import type { CafeNeeds } from './needs.ts';
import { parsePeople } from './people.ts';
import { peopleView, personView } from './people-view.ts';
import type { Note } from './question-view.ts';
import type { Pressed, PressRoute } from './subject.ts';
import { cafeOfPress, talking } from './talking.ts';

const MOST_NAMES_TEXT = 200;

const reread = async ({ tx }: Talk, house: House): Promise<House> => (await houseOf(tx, house.cafe.id)) ?? house;

/** The page of people as it stands now. */
export const showPeople = async (talk: Talk, house: House, note?: Note, page = 0): Promise<Message> => {
  const { say, locale } = sayFor(talk, house);
  return peopleView(await reread(talk, house), page, note, say, locale);
};

const showPerson = async (talk: Talk, house: House, id: string, note?: Note): Promise<Message> => {
  const after = await reread(talk, house);
  const member = after.members.find((each) => each.id === id);
  return member ? personView(after, member, note, sayFor(talk, house).say) : showPeople(talk, house);
};

const noteOf = (change: RoleChange): Note | undefined => (change === 'last-owner' ? { key: 'cafe.person.lastOwner' } : change === 'no-account' ? { key: 'cafe.person.noAccount' } : undefined);

const isRole = (text: string): text is MemberRole => text === 'owner' || text === 'bar' || text === 'bar phone';

const setPerson = async (talk: Talk, house: House, id: string, what: string): Promise<Message> => {
  const member = house.members.find((each) => each.id === id);
  if (what === 'remove') {
    const change = await removeMember(talk.tx, house.cafe.id, id);
    return change === 'last-owner' ? showPerson(talk, house, id, noteOf(change)) : showPeople(talk, house, member && { key: 'cafe.person.removed', values: { name: shortened(member.name, 30) } });
  }
  return isRole(what) ? showPerson(talk, house, id, noteOf(await setRole(talk.tx, house.cafe.id, id, what))) : showPerson(talk, house, id);
};

const addPeople = async (talk: Talk, house: House, { picked, pickedNames }: Pressed): Promise<Message> => {
  const { needs, tx, here } = talk;
  for (const id of picked) await addMember(tx, needs.ids, here.now, house.cafe.id, { person: personId(id), name: shortened(pickedNames[id] ?? id, 40), role: 'bar' });
  return showPeople(talk, house, { key: 'cafe.people.added', values: { names: shortened(picked.map((id) => pickedNames[id] ?? id).join(', '), 40) } });
};

/** Keeps first names without accounts. Undefined: the text is no list of names. */
export const addNames = async (talk: Talk, house: House, text: string): Promise<Message | undefined> => {
  const { needs, tx, here } = talk;
  const names = text.length > MOST_NAMES_TEXT ? [] : parsePeople(text);
  if (names.length === 0) return undefined;
  for (const name of names) await addMember(tx, needs.ids, here.now, house.cafe.id, { person: null, name, role: 'bar' });
  return message([sayFor(talk, house).say('cafe.names.added', { names: shortened(listed(names, here.locale), 40) })]);
};

const setBarRole = async (talk: Talk, house: House, role: string | null): Promise<Message> => {
  await talk.tx.updateTable('cafe').set({ bar_role: role }).where('id', '=', house.cafe.id).execute();
  return showPeople(talk, house, { key: role === null ? 'cafe.people.roleOff' : 'cafe.people.roleOn' });
};

const namesForm = (cafe: string, say: Say): Form => ({
  title: say('cafe.names.title'),
  submit: press('cafe.named', cafe),
  questions: [{ key: 'text', label: say('cafe.names.title'), hint: say('cafe.names.hint'), answer: { kind: 'words', most: MOST_NAMES_TEXT } }],
});

const addTyped = async (talk: Talk, house: House, text: string): Promise<Message> => {
  const added = await addNames(talk, house, text);
  const [line] = added?.lines ?? [];
  const shown = await showPeople(talk, house, line ? undefined : { key: 'cafe.problem.people' });
  return line ? { ...shown, lines: [line, ...shown.lines].slice(0, 4) } : shown;
};

type Work = (talk: Talk, house: House, pressed: Pressed) => Promise<Message>;

const route = (needs: CafeNeeds, kind: string, work: Work): PressRoute => ({
  kind,
  ack: 'update',
  right: 'own',
  cafe: cafeOfPress,
  take: async (pressed) => ({ kind: 'redraw', message: await talking(needs, pressed, pressed.press.ids[0], (talk, house) => work(talk, house, pressed)) }),
});

const pickedMember: Work = (talk, house, { picked: [id = ''] }) => (id.startsWith('page.') ? showPeople(talk, house, undefined, Number(id.slice(5))) : showPerson(talk, house, id));

/** The page of people: roles, shared accounts, first names, and who is no longer here. */
export const peopleRoutes = (needs: CafeNeeds): readonly PressRoute[] => [
  route(needs, 'cafe.people', (talk, house) => showPeople(talk, house)),
  route(needs, 'cafe.person', pickedMember),
  route(needs, 'cafe.person-set', (talk, house, { press: { ids } }) => setPerson(talk, house, ids[1] ?? '', ids[2] ?? '')),
  route(needs, 'cafe.add-people', addPeople),
  route(needs, 'cafe.bar-role', (talk, house, { picked: [role] }) => (role === undefined ? showPeople(talk, house) : setBarRole(talk, house, role))),
  route(needs, 'cafe.no-role', (talk, house) => setBarRole(talk, house, null)),
  route(needs, 'cafe.named', (talk, house, { answers }) => addTyped(talk, house, answers['text']?.[0] ?? '')),
  {
    kind: 'cafe.names',
    ack: 'form',
    right: 'own',
    cafe: cafeOfPress,
    take: async ({ press: { ids }, locale }): Promise<Answer> => ({ kind: 'form', form: namesForm(ids[0] ?? '', needs.words.in(locale)) }),
  },
];
