import { button, message, type Message } from '../chat/message.ts';
import { pagedOptions } from '../chat/pages.ts';
import { press } from '../chat/press.ts';
import type { Say } from '../words/catalogue.ts';
import { listed, shortened } from '../words/format.ts';
import type { House } from './house.ts';
import type { Note } from './question-view.ts';
import type { Member } from './records.ts';

const roleText = ({ role, person }: Member, say: Say): string => say(person === null ? 'cafe.role.name' : role === 'owner' ? 'cafe.role.owner' : role === 'bar phone' ? 'cafe.role.phone' : 'cafe.role.bar');

const namesOf = (members: readonly Member[], locale: string, most: number): string => {
  const names = members.map(({ name }) => shortened(name, 20));
  const all = listed(names, locale);
  return all.length <= most ? all : shortened(names.join(', '), most);
};

const summary = ({ cafe, members }: House, say: Say, locale: string): readonly string[] => {
  const owners = members.filter(({ role }) => role === 'owner');
  const bar = members.filter(({ role }) => role !== 'owner');
  const names = bar.length === 0 ? say('cafe.none') : namesOf(bar, locale, cafe.bar_role === null ? 56 : 34);
  return [say('cafe.people.owners', { names: namesOf(owners, locale, 50) }), say(cafe.bar_role === null ? 'cafe.people.bar' : 'cafe.people.barAndRole', { names: bar.length === 0 ? '-' : names })];
};

/** Who is in the café, with what can be done about it. */
export const peopleView = (house: House, page: number, note: Note | undefined, say: Say, locale: string): Message => {
  const { id, bar_role } = house.cafe;
  const options = house.members.map((member) => ({ value: member.id, label: shortened(member.name, 60), hint: roleText(member, say) }));
  const from = pagedOptions(options, page, { earlier: say('cafe.list.earlier'), more: say('cafe.list.more') });
  return message(
    [...(note ? [say(note.key, note.values)] : []), ...summary(house, say, locale), say('cafe.people.ask')],
    ...(from.length > 0 ? [{ ask: say('cafe.pick.member'), press: press('cafe.person', id), from }] : []),
    { ask: say('cafe.pick.addPeople'), press: press('cafe.add-people', id), many: { least: 1, most: 25 }, from: 'people' },
    { ask: say(bar_role === null ? 'cafe.pick.role' : 'cafe.pick.otherRole'), press: press('cafe.bar-role', id), from: 'roles' },
    [button(say('cafe.button.names'), press('cafe.names', id)), ...(bar_role === null ? [] : [button(say('cafe.button.noRole'), press('cafe.no-role', id))]), button(say('cafe.button.back'), press('cafe.show', id))],
  );
};

/** One person, and the roles they can have. A first name without an account can only be removed. */
export const personView = (house: House, member: Member, note: Note | undefined, say: Say): Message => {
  const set = (role: string): ReturnType<typeof press> => press('cafe.person-set', house.cafe.id, member.id, role);
  const other = [
    ...(member.role === 'owner' ? [] : [button(say('cafe.button.makeOwner'), set('owner'))]),
    ...(member.role === 'bar' ? [] : [button(say('cafe.button.makeBar'), set('bar'))]),
    ...(member.role === 'bar phone' ? [] : [button(say('cafe.button.makePhone'), set('bar phone'))]),
  ];
  const caution = member.role === 'bar phone' ? [say('cafe.phone.caution'), say('cafe.phone.signOut')] : member.person === null ? [say('cafe.names.what')] : [];
  return message(
    [...(note ? [say(note.key, note.values)] : []), say('cafe.person.head', { name: shortened(member.name, 30), role: roleText(member, say) }), ...caution],
    ...(member.person === null ? [] : [other]),
    [button(say('cafe.button.removePerson'), set('remove'), 'danger'), button(say('cafe.button.back'), press('cafe.people', house.cafe.id))],
  );
};
