import { cafeById, cafesById, cafesHere, machinesOf, type Cafe, type Machine } from '../cafe/records.ts';
import { secondLanguage } from '../cafe/languages.ts';
import type { Here, PressRoute, Said } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, line, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { shortened } from '../words/format.ts';
import { isDirect } from '../chat/who.ts';
import { read, transact } from '../store/transact.ts';
import type { DangerKind } from './catalogue-schema.ts';
import type { DangerDesk } from './danger-desk.ts';
import { isDangerKind, NO_SITE, siteOf } from './danger-needs.ts';
import { dangerSteps, OF_A_GROUP, type Site } from './danger-views.ts';
import { groupNumber, type GroupTold } from './find-told.ts';

/** From words, or from the list of dangers, to the steps. */
export const createTelling = ({ needs, raise }: DangerDesk) => {
  const { store, words, find, groupIn } = needs;

  const cafeFor = async (cafes: readonly string[]): Promise<{ cafe: Cafe; machine: Machine | undefined } | undefined> =>
    read(store, async (tx) => {
      const [cafe] = await cafesById(tx, cafes.slice(0, 1));
      return cafe && { cafe, machine: (await machinesOf(tx, cafe.id))[0] };
    });

  const stepsFor = (locale: string, kind: DangerKind, site: Site): Message =>
    message(dangerSteps(words.in(locale), kind, site).map((text, i) => (i === 0 ? line(text, 'danger') : line(text))));

  const askWhere = async (locale: string, cafes: readonly string[], kind: DangerKind): Promise<Message> => {
    const known = await read(store, (tx) => cafesById(tx, cafes.slice(0, 25)));
    const where = { ask: words.in(locale)('danger.where'), press: press('danger.where', kind), from: known.map(({ id, name }) => ({ value: id, label: shortened(name, 60) })) };
    const steps = stepsFor(locale, kind, NO_SITE);
    return message(steps.lines, where);
  };

  const tell = async (here: Here, cafes: readonly string[], kind: DangerKind, text: string, told: GroupTold | null): Promise<Answer> => {
    // The steps come at once, in general words; which café it is follows, so that the right bar hears of it.
    if (cafes.length > 1) return { kind: 'say', message: await askWhere(here.locale, cafes, kind) };
    const known = await cafeFor(cafes);
    // Somebody whose café is not known gets the steps in general words, where they are.
    if (!known) return { kind: 'say', message: stepsFor(here.locale, kind, NO_SITE) };
    const { cafe, machine } = known;
    const group = OF_A_GROUP.includes(kind) && machine ? groupNumber(told, machine.groups) : null;
    const raised = { cafe, machine: machine?.id ?? null, group, kind, act: group === null ? 'machine-off' : 'group-out', by: here.by, caseId: null, text };
    await transact(store, [cafe.id], (tx) => raise(tx, raised, here.now));
    return isDirect(here.at) || cafe.place !== here.at ? { kind: 'say', message: stepsFor(here.locale, kind, siteOf(cafe)) } : { kind: 'noted' };
  };

  const takeWords = async (said: Said): Promise<Answer | undefined> => {
    if (said.text === '') return undefined;
    const cafe = (await cafeFor(said.cafes))?.cafe;
    const second = cafe && secondLanguage(cafe);
    const found = find(said.text, said.locale) ?? (second === undefined ? undefined : find(said.text, second));
    return found && tell(said, said.cafes, found.kind, said.text, groupIn(said.text, said.locale));
  };

  const whichKind = (locale: string): Message => {
    const say = words.in(locale);
    const of = (kind: DangerKind) => button(say(`danger.label.${kind}`), press('danger.which', kind));
    return message([line(say('danger.which'), 'danger')], [of('fire'), of('electric')], [of('gas'), of('scald')], [of('person'), of('chemical')], [of('steam'), of('pressure'), of('flood')]);
  };

  /** Only cafés this person is known in can be picked. */
  const pressWhere: PressRoute = {
    kind: 'danger.where', ack: 'update', right: 'anyone',
    take: async (pressed) => {
      const given = pressed.press.ids[0] ?? '';
      const kind = isDangerKind(given) ? given : 'fire';
      const cafes = await read(store, async (tx) => (await cafesHere(tx, pressed.at, pressed.by.id)).map(({ id }) => id));
      const where = cafes.filter((id) => id === pressed.picked[0]);
      const answer = await tell(pressed, where, kind, '/danger', null);
      return { kind: 'redraw', message: answer.kind === 'say' ? answer.message : stepsFor(pressed.locale, kind, NO_SITE) };
    },
  };

  const pressWhich: PressRoute = {
    kind: 'danger.which', ack: 'update', right: 'anyone',
    take: async (pressed) => {
      const given = pressed.press.ids[0] ?? '';
      const kind = isDangerKind(given) ? given : 'fire';
      const cafes = await read(store, async (tx) => (await cafesHere(tx, pressed.at, pressed.by.id)).map(({ id }) => id));
      const answer = await tell(pressed, cafes, kind, '/danger', null);
      if (answer.kind === 'say') return { kind: 'redraw', message: answer.message };
      const cafe = await read(store, async (tx) => (cafes[0] === undefined ? undefined : cafeById(tx, cafes[0])));
      return { kind: 'redraw', message: stepsFor(pressed.locale, kind, cafe ? siteOf(cafe) : NO_SITE) };
    },
  };

  return { takeWords, whichKind, pressWhich, pressWhere };
};
