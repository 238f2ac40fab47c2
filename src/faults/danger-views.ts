import { button, line, message, type Button, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { Say } from '../words/catalogue.ts';
import type { DangerKind } from './catalogue-schema.ts';

/** What the café said about its switches and numbers; null: not known. */
export type Site = {
  readonly switchOff: string | null;
  readonly breaker: string | null;
  readonly waterTap: string | null;
  readonly emergency: string | null;
  readonly gas: string | null;
  readonly poison: string | null;
};

export type DangerView = {
  readonly id: string;
  readonly kind: DangerKind;
  readonly state: string;
  /** Only a group is in question, not the whole machine. */
  readonly groupOnly: boolean;
  /** Where detergent was left in a group: the machine whose card rinses it out. */
  readonly rinse: { readonly cafe: string; readonly machine: string } | null;
  /** Groups one of which may be meant, where nobody has said which; else none. */
  readonly groups: readonly number[];
  /** The group stood still before this danger already. */
  readonly wasOut: boolean;
  /** It follows from answers: nobody told of it, so it is no false alarm. */
  readonly reckoned: boolean;
  /** The machine is marked: a technician or the owner frees it. */
  readonly staysOff: boolean;
  readonly owner: string | null;
  readonly technician: string | null;
  readonly site: Site;
};

/** The café's own places and numbers, or plain words where they are not known. */
const placesOf = (say: Say, site: Site): Readonly<Record<string, string>> => {
  const emergency = site.emergency ?? say('danger.emergency.unknown');
  return {
    emergency,
    switch: site.switchOff ?? say('danger.switch.unknown'),
    breaker: site.breaker ?? say('danger.breaker.unknown'),
    tap: site.waterTap ?? say('danger.tap.unknown'),
    gas: site.gas ?? site.emergency ?? say('danger.gas.unknown'),
    poison: site.poison === null ? emergency : say('danger.poison.or', { poison: site.poison, emergency }),
  };
};

/** The steps for a danger: what to do, in the order in which it is done. */
export const dangerSteps = (say: Say, kind: DangerKind, site: Site): readonly string[] => [1, 2, 3, 4].map((n) => say(`danger.${kind}.${n}`, placesOf(say, site)));

const GROUPS_OF_BUTTONS: Readonly<Record<DangerKind, readonly (readonly string[])[]>> = {
  fire: [['off', 'flames'], ['reach', 'false']],
  electric: [['off', 'hurt'], ['reach', 'false']],
  gas: [['out'], ['false']],
  scald: [['off', 'hurt'], ['reach', 'false']],
  person: [['hurt', 'fine'], ['false']],
  steam: [['off', 'hurt'], ['reach', 'false']],
  pressure: [['off', 'hurt'], ['false']],
  chemical: [['off', 'hurt'], ['false']],
  flood: [['off', 'hurt'], ['reach', 'false']],
};

/** How each danger ends once people are safe: what to watch, how to say that it is over or goes on, and what then. */
type Ending = { readonly watch: readonly string[]; readonly over: string; readonly on: string; readonly still: string };
const STOPS: Ending = { watch: ['danger.fine.other.1'], over: 'danger.button.settled', on: 'danger.button.goes-on', still: 'danger.still.1' };
const ENDINGS: Readonly<Record<DangerKind, Ending>> = {
  fire: { watch: ['danger.fine.fire.1', 'danger.fine.fire.2'], over: 'danger.button.gone', on: 'danger.button.still', still: 'danger.still.1' },
  electric: STOPS,
  gas: STOPS,
  scald: STOPS,
  steam: STOPS,
  person: { watch: ['danger.fine.person.1'], over: 'danger.button.cared', on: 'danger.button.unwell', still: 'danger.still.person.1' },
  pressure: { watch: ['danger.fine.pressure.1'], over: 'danger.button.alone', on: 'danger.button.hisses', still: 'danger.still.pressure.1' },
  chemical: { watch: ['danger.fine.chemical.1'], over: 'danger.button.thrown', on: 'danger.button.served', still: 'danger.still.chemical.1' },
  flood: { watch: ['danger.fine.flood.1'], over: 'danger.button.dry', on: 'danger.button.runs', still: 'danger.still.flood.1' },
};
/** Of these only one group may be meant: the others can go on once it is named. */
export const OF_A_GROUP: readonly DangerKind[] = ['pressure', 'chemical'];
/** Where going on means that everybody leaves. */
const LEAVING: readonly DangerKind[] = ['fire', 'electric', 'gas', 'scald', 'steam'];

const strong = (texts: readonly string[]) => texts.map((text, i) => (i === 0 ? line(text, 'danger') : line(text)));

/** The danger message in its present state; while nothing is known, the steps and what can be said to them. */
export const dangerMessage = (say: Say, view: DangerView): Message => {
  const { id, kind, site } = view;
  const places = placesOf(say, site);
  const to = (what: string, label = `danger.button.${what}`): Button => button(say(label), press('danger.say', id, what), what === 'flames' || what === 'hurt' ? 'danger' : 'plain');
  const rinse = view.rinse ? [[button(say('danger.button.rinse'), press('card.start', view.rinse.cafe, 'rinse-detergent', '-', '-', view.rinse.machine), 'main')]] : [];
  const offLabel = (what: string): Button => (what === 'off' && view.groupOnly ? to('off', 'danger.button.group-off') : to(what));
  switch (view.state) {
    case 'told':
      return message(strong(dangerSteps(say, kind, site)), ...(view.groups.length > 0 ? [view.groups.map((group) => button(say('danger.button.group-n', { group }), press('danger.say', id, 'off', String(group))))] : []), ...GROUPS_OF_BUTTONS[kind].map((row) => row.filter((what) => what !== 'false' || !view.reckoned).map(offLabel)).filter((row) => row.length > 0));
    case 'off':
      return message(strong([say(view.groupOnly ? 'danger.group-off.1' : 'danger.off.1'), say('danger.off.2')]), [to('fine'), to('hurt')]);
    case 'out of reach':
      return message(strong([say('danger.reach.1', places), say('danger.reach.2')]), [to('off'), to('flames')]);
    case 'everyone out':
      return message(strong(kind === 'gas' ? [say('danger.out.1')] : [say('danger.flames.1', places), say('danger.flames.2')]), ...(kind === 'gas' ? [] : [[to('out')]]));
    case 'hurt':
      return message(strong([say('danger.hurt.1', places), say('danger.hurt.2'), say('danger.hurt.3')]), [to('fine')]);
    case 'clear': {
      const owner = view.owner === null ? say('danger.fine.no-owner') : say('danger.fine.owner', { owner: view.owner });
      const told = say('danger.fine.3', { owner, technician: view.rinse ? 'none' : (view.technician ?? 'none') });
      const { watch, over, on } = ENDINGS[kind];
      return message(strong([...watch.map((key) => say(key, places)), told]), ...rinse, [to('gone', over), to('still', on)]);
    }
    case 'goes on':
      return message(strong([say(ENDINGS[kind].still, places)]), ...rinse, LEAVING.includes(kind) ? [to('out')] : [to('gone', ENDINGS[kind].over)]);
    case 'settled':
      return message([say(view.groupOnly ? 'danger.group-off.1' : view.staysOff ? 'danger.gone.1' : 'danger.gone.noted')], ...rinse);
    case 'rinsed':
      return message([say(view.wasOut ? 'danger.rinsed.out' : 'danger.rinsed.1')]);
    case 'false alarm':
      return message([say('danger.false.1')], [to('was-kitchen', 'danger.false.kitchen'), to('was-cleaning', 'danger.false.cleaning')], [to('was-taste', 'danger.false.taste'), to('was-nothing', 'danger.false.nothing')]);
    default:
      return message([say('danger.false.thanks')]);
  }
};
