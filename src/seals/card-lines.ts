import type { Instant } from '../time/instant.ts';
import type { Say } from '../words/catalogue.ts';
import type { Reader } from '../words/format.ts';
import type { Known } from './card-gate.ts';
import type { Card, CardPart } from './cards-config.ts';
import type { Closes } from './closing.ts';
import type { Progress } from './job-card.ts';

export type Show = { readonly say: Say; readonly reader: Reader };

/** What the cautions name: the café's own switches and numbers, the machine's own figures; null: not known. */
export type Place = {
  readonly switchOff: string | null;
  readonly waterTap: string | null;
  readonly emergency: string | null;
  readonly gas: Known;
  readonly lever: Known;
  readonly cool: number | null;
  readonly heat: number | null;
  readonly technician: { readonly name: string; readonly telephone: string | null } | null;
  /** To which side the handle of the card's group is pushed; left out while nobody said. */
  readonly closes?: Closes;
};

/** A card in progress as it is shown; `progress` already stands where it has to be shown. */
export type CardView = {
  readonly run: string;
  readonly card: Card;
  readonly group: number | null;
  readonly progress: Progress;
  readonly doer: string;
  readonly place: Place;
  readonly inCase: boolean;
  /** A part may be stuck or broken where it stands. */
  readonly stuck: boolean;
  /** When the wait of this step is over; null where it has none. */
  readonly until: Instant | null;
};

/** What pressing the first button under a block says. */
export type Assurance = 'off-cool' | 'off-water' | 'unplugged' | 'off' | 'ready';

export const assuranceOf = (part: CardPart): Assurance => {
  const has = (name: string): boolean => (part.lines as readonly string[]).includes(name);
  if (part.block !== 'cold') return 'ready';
  if (has('cool')) return 'off-cool';
  if (has('water')) return 'off-water';
  return has('unplug') ? 'unplugged' : 'off';
};

export const linesOf = (text: string): readonly string[] => text.split('\n');

export const headOf = ({ say }: Show, card: Card, group: number | null): string => say('cards.head', { title: say(`cards.${card.job}.title`), group: group === null ? 'none' : String(group) });

/** Cautions that say how the machine has to stand, against those for the work itself. */
const STANDS: ReadonlySet<string> = new Set(['off', 'unplug', 'water', 'gas', 'cool', 'steam']);
const ON_A_PAGE = 4;

const textOf = ({ say }: Show, part: CardPart, place: Place, name: string): readonly string[] => {
  const hasOff = (part.lines as readonly string[]).includes('off');
  const gas = part.lines.some((each) => each === 'gas') ? place.gas : 'no';
  switch (name) {
    case 'off':
      return [place.switchOff === null ? say('cards.cold.off.unknown') : say('cards.cold.off', { where: place.switchOff }), say(`cards.cold.tell.${gas}`)];
    case 'gas':
      return hasOff ? [] : [say('cards.cold.tell.yes')];
    case 'lever':
      return place.lever === 'no' ? [] : [say('cards.lever')];
    case 'water':
      return [place.waterTap === null ? say('cards.cold.water.unknown') : say('cards.cold.water', { where: place.waterTap })];
    case 'cool':
      return [place.cool === null ? say('cards.cold.cool.unknown') : say('cards.cold.cool', { minutes: place.cool })];
    default:
      return [say(`cards.${part.block}.${name}`)];
  }
};

const paged = (all: readonly string[]): readonly (readonly string[])[] => Array.from({ length: Math.ceil(all.length / ON_A_PAGE) }, (_, i) => all.slice(i * ON_A_PAGE, (i + 1) * ON_A_PAGE));

/**
 * The cautions of a part that apply to this machine, four lines at a time: first how the machine has to stand, then the
 * work; all on one page where they fit.
 */
export const blockPages = (show: Show, part: CardPart, place: Place): readonly (readonly string[])[] => {
  if (part.block === 'none') return [];
  const of = (stands: boolean): readonly string[] => part.lines.filter((name) => STANDS.has(name) === stands).flatMap((name) => textOf(show, part, place, name));
  const state = of(true);
  const work = [...of(false), show.say('cards.rules')];
  return state.length + work.length <= ON_A_PAGE ? [[...state, ...work]] : [...paged(state), ...paged(work)];
};

/** Where a handle leans that is not fully in, and the other side, as the person stands at it. */
const sidesOf = (say: Say, closes: Closes = 'right'): { readonly lean: string; readonly away: string } => ({ lean: say(`cards.lean.${closes}`), away: say(`cards.lean.${closes === 'right' ? 'left' : 'right'}`) });

export const answerText = ({ say }: Pick<Show, 'say'>, answer: string, { closes }: Pick<Place, 'closes'> = {}): string => say(`cards.answer.${answer}`, sidesOf(say, closes));

/** The orders of a step, with the café's own switch and tap in them. */
export const stepLines = ({ say }: Show, card: Card, number: number, place: Pick<Place, 'switchOff' | 'waterTap' | 'closes'>): readonly string[] =>
  linesOf(say(`cards.${card.job}.${number}`, { where: place.switchOff ?? say('cards.switch'), tap: place.waterTap ?? say('cards.tap'), ...sidesOf(say, place.closes) }));
