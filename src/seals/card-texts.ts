import type { Card, CardFinding, ReadFile } from './cards-config.ts';
import { screensOf } from './job-card.ts';

const WIDTH = 64;
const STEP_LINES = 3;
/** What a line holds beside a place or number of the café: how the owner named the switch may be as long as this. */
const BESIDE_A_VALUE = 24;
/** What a heading adds to a title: group, number of the screen. */
const LONGEST_TITLE = 30;

export const stepCount = (card: Card): number => screensOf(card).filter((screen) => screen.kind === 'step').length;

type Limits = { readonly lines: number; readonly width: number };
const STEP: Limits = { lines: STEP_LINES, width: WIDTH };
/** One line less: the bot adds when it calls. */
const WAITING: Limits = { lines: STEP_LINES - 1, width: WIDTH };
const LINE: Limits = { lines: 1, width: WIDTH };

/** Every key of config/words that a card uses for itself, and how long its text may be. */
export const cardKeys = (card: Card): readonly (readonly [key: string, limits: Limits])[] => [
  [`cards.${card.job}.title`, { lines: 1, width: LONGEST_TITLE }],
  [`cards.${card.job}.what`, LINE],
  [`cards.${card.job}.names`, { lines: 1, width: 200 }],
  ...screensOf(card).flatMap((screen) => (screen.kind === 'step' ? [[`cards.${card.job}.${screen.number}`, screen.step.wait === undefined ? STEP : WAITING] as const] : [])),
  [`cards.${card.job}.check`, STEP],
  ...(card.again.length > 0 ? [[`cards.${card.job}.again`, LINE] as const] : []),
  ...card.tools.map((tool) => [`cards.tool.${tool}`, { lines: 1, width: 30 }] as const),
  ...[...card.check.answers, ...card.again.flatMap(({ answers }) => answers)].map(({ id }) => [`cards.answer.${id}`, { lines: 1, width: 20 }] as const),
];

const problemOf = (text: string, { lines, width }: Limits): readonly [string, string] | undefined => {
  const all = text.split('\n');
  const long = all.find((each) => Array.from(each).length > width);
  if (all.length > lines) return [`${all.length} lines`, `At most ${lines}.`];
  if (long !== undefined) return [`a line of ${Array.from(long).length} characters`, `At most ${width}: "${long}"`];
  const crowded = all.find((each) => /\{(where|tap)\}/.test(each) && Array.from(each.replace(/\{\w+\}/g, '')).length > BESIDE_A_VALUE);
  if (crowded !== undefined) return ['a place of the café in a line full of other words', `Give it a line of its own: "${crowded}"`];
  return text.includes('!') ? ['an exclamation mark', 'Orders are plain; end them with a full stop.'] : undefined;
};

/** Texts that cards need and the words do not have, that are too long, or that no step of the card shows. */
export const cardWordFindings = ({ cards }: ReadFile, text: (key: string) => string | undefined): readonly CardFinding[] =>
  cards.flatMap(({ card }) => {
    const of = (key: string, problem: string, cure: string): CardFinding => ({ file: 'words/en/cards.json', key, problem, cure });
    const own = cardKeys(card).flatMap(([key, limits]): readonly CardFinding[] => {
      const found = text(key);
      if (found === undefined) return [of(key, 'there is no text', 'Write it; the neighbours show the length.')];
      const problem = problemOf(found, limits);
      return problem ? [of(key, ...problem)] : [];
    });
    const beyond = `cards.${card.job}.${stepCount(card) + 1}`;
    return text(beyond) === undefined ? own : [...own, of(beyond, 'a text for a step that is not there', 'Remove it, or add the step to the card.')];
  });
