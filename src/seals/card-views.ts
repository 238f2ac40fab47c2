import { button, line, message, type Button, type Line, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { later, minutes, type Instant } from '../time/instant.ts';
import type { Say } from '../words/catalogue.ts';
import { clockTime, type Reader } from '../words/format.ts';
import type { Known } from './card-gate.ts';
import type { Card, CardPart, CardStep } from './cards-config.ts';
import { screenAt, screensOf, type CardScreen, type Progress } from './job-card.ts';

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

const lines = (text: string): readonly string[] => text.split('\n');

export const headOf = ({ say }: Show, card: Card, group: number | null): string => say('cards.head', { title: say(`cards.${card.job}.title`), group: group === null ? 'none' : String(group) });

const numberedHead = (show: Show, { card, group, progress }: CardView): string =>
  show.say('cards.head.numbered', { head: headOf(show, card, group), n: progress.at + 1, m: screensOf(card).length });

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

/** The orders of a step, with the café's own switch and tap in them. */
export const stepLines = ({ say }: Show, card: Card, number: number, place: Pick<Place, 'switchOff' | 'waterTap'>): readonly string[] =>
  lines(say(`cards.${card.job}.${number}`, { where: place.switchOff ?? say('cards.switch'), tap: place.waterTap ?? say('cards.tap') }));

const waitLine = (show: Show, step: CardStep, view: CardView): readonly Line[] => {
  if (step.wait === undefined || view.until === null) return [];
  return [line(show.say(step.wait === 'heat' ? 'cards.wait.heat' : 'cards.wait', { time: clockTime(view.until, show.reader) }), 'quiet')];
};

const blockMessage = (show: Show, view: CardView, part: CardPart, wanted: number): Message => {
  const { say } = show;
  const on = String(view.progress.at);
  const assurance = assuranceOf(part);
  const pages = blockPages(show, part, view.place);
  const page = Math.min(Math.max(0, wanted), pages.length - 1);
  const again = view.progress.goesTo !== null && page === 0;
  const turns = (label: string, to: number): Button => button(say(label), press('card.caution', view.run, on, String(to)));
  const last: readonly Button[] = [
    button(say(`cards.button.${assurance}`), press('card.ready', view.run, on), 'main'),
    button(say(assurance === 'ready' ? 'cards.button.not-now' : 'cards.button.not-yet'), press('card.not-yet', view.run, on)),
  ];
  return {
    // What is asked again says so in the heading, so that nobody takes it for the first time.
    title: again ? say('cards.block.again', { head: headOf(show, view.card, view.group) }) : numberedHead(show, view),
    ...message(pages[page] ?? [], page < pages.length - 1 ? [turns('cards.button.read-on', page + 1)] : last, [...(page > 0 ? [turns('cards.button.back', page - 1)] : []), button(say('cards.button.wrong'), press('card.wrong', view.run))]),
  };
};

const stepButtons = ({ say }: Show, { run, progress }: CardView, first: boolean): readonly (readonly Button[])[] => {
  const on = String(progress.at);
  return [
    [button(say('cards.button.next'), press('card.next', run, on), 'main'), ...(first ? [] : [button(say('cards.button.back'), press('card.back', run, on))])],
    [button(say('cards.button.wrong'), press('card.wrong', run)), button(say('cards.button.pause'), press('card.pause', run, on))],
  ];
};

const checkMessage = (show: Show, view: CardView): Message => {
  const { say } = show;
  const { run, card, progress } = view;
  const on = String(progress.at);
  const answers = card.check.answers.map(({ id }) => button(say(`cards.answer.${id}`), press('card.answer', run, on, id)));
  const rows = answers.length > 3 ? [answers.slice(0, 2), answers.slice(2)] : [answers];
  return message([line(numberedHead(show, view), 'strong'), ...lines(say(`cards.${card.job}.check`))], ...rows, [button(say('cards.button.back'), press('card.back', run, on)), button(say('cards.button.wrong'), press('card.wrong', run)), button(say('cards.button.pause'), press('card.pause', run, on))]);
};

const onMessage = (show: Show, view: CardView, page: number): Message => {
  const screen: CardScreen = screenAt(view.card, view.progress.at);
  switch (screen.kind) {
    case 'block':
      return blockMessage(show, view, view.card.parts[screen.part] as CardPart, page);
    case 'step':
      return message([line(numberedHead(show, view), 'strong'), ...stepLines(show, view.card, screen.number, view.place), ...waitLine(show, screen.step, view)], ...stepButtons(show, view, view.progress.at === 0));
    case 'check':
      return checkMessage(show, view);
  }
};

const pausedMessage = (show: Show, view: CardView): Message => {
  const { say } = show;
  const { card, progress, run } = view;
  const part = card.parts[screenAt(card, progress.at).part] as CardPart;
  const cold = part.block === 'cold';
  const told = !cold ? [say('cards.paused.hot', { name: view.doer })] : progress.apart ? [say(assuranceOf(part) === 'unplugged' ? 'cards.paused.note.plug' : 'cards.paused.note'), say('cards.paused.asks', { name: view.doer })] : [say(`cards.paused.${assuranceOf(part)}`)];
  const first = say('cards.paused', { head: headOf(show, card, view.group), time: clockTime(progress.touched, show.reader) });
  return message([line(first, 'strong'), ...told, ...(progress.residue ? [say('cards.residue')] : [])], [button(say('cards.button.go-on'), press('card.go-on', run), 'main'), ...(progress.apart ? [] : [button(say('cards.button.leave'), press('card.leave', run))])], [button(say('cards.button.wrong'), press('card.wrong', run))]);
};

const wrongMessage = (show: Show, { run, card, group }: CardView): Message => {
  const { say } = show;
  return message(
    [line(say('cards.wrong', { head: headOf(show, card, group) }), 'strong'), say('cards.wrong.danger')],
    [button(say('cards.button.danger'), press('card.danger', run), 'danger')],
    [button(say('cards.button.questions'), press('card.questions', run)), button(say('cards.button.return'), press('card.return', run))],
  );
};

/** Orders for the first seconds, whatever it is; what kind it is comes after them. */
export const dangerLines = ({ say }: Show, place: Place): readonly string[] => [
  say('cards.danger.1'),
  say('cards.danger.2', { switch: place.switchOff ?? say('cards.danger.switch') }),
  say('cards.danger.3', { emergency: place.emergency ?? say('cards.danger.emergency') }),
  say('cards.danger.4'),
];

const technicianLine = ({ say }: Show, { technician }: Place): string =>
  technician === null ? say('cards.technician.none') : technician.telephone === null ? say('cards.technician.named', { name: technician.name }) : say('cards.technician', { name: technician.name, telephone: technician.telephone });

const endedMessage = (show: Show, view: CardView): Message => {
  const { say } = show;
  const { card, group, progress, run, doer } = view;
  const result = progress.result ?? 'left';
  if (result === 'danger') return message(dangerLines(show, view.place).map((text, i) => (i === 0 ? line(text, 'danger') : line(text))), ...(progress.apart ? [[button(say('cards.button.whole'), press('card.whole', run))]] : []));
  const values = { head: headOf(show, card, group), time: clockTime(progress.touched, show.reader) };
  const first = progress.answer === null ? say('cards.end.left', values) : say('cards.end', { ...values, answer: say(`cards.answer.${progress.answer}`) });
  const asks = !view.inCase && result === 'same' ? [[button(say('cards.button.questions'), press('card.questions', run))]] : [];
  const whole = progress.apart ? [[button(say('cards.button.whole'), press('card.whole', run))]] : [];
  return message(
    [line(first, 'strong'), ...(result === 'left' ? [say('cards.end.left.1')] : [say(`cards.end.${result}`, { name: doer })]), ...(result === 'book' ? [technicianLine(show, view.place)] : []), ...(progress.residue ? [say('cards.residue')] : [])],
    ...asks,
    ...whole,
  );
};

/** The card as it stands, in its one message; `page` of its cautions where it stands at them. */
export const cardMessage = (show: Show, view: CardView, page = 0): Message => {
  switch (view.progress.state) {
    case 'on':
      return onMessage(show, view, page);
    case 'paused':
      return pausedMessage(show, view);
    case 'wrong':
      return wrongMessage(show, view);
    case 'ended':
      return endedMessage(show, view);
  }
};

/** When the wait of the screen it stands at is over. */
export const waitUntil = (card: Card, progress: Progress, heat: number): Instant | null => {
  const screen = screenAt(card, progress.at);
  if (progress.state !== 'on' || screen.kind !== 'step' || screen.step.wait === undefined) return null;
  return later(progress.touched, minutes(screen.step.wait === 'heat' ? heat : screen.step.wait));
};

type Leaf = readonly string[];

/** Everything a card shows, leaf by leaf, for reading. */
const leavesOf = (show: Show, card: Card, place: Place): readonly Leaf[] =>
  screensOf(card).flatMap((screen): readonly Leaf[] => {
    switch (screen.kind) {
      case 'block':
        return blockPages(show, card.parts[screen.part] as CardPart, place);
      case 'step':
        return [stepLines(show, card, screen.number, place)];
      case 'check':
        return [lines(show.say(`cards.${card.job}.check`))];
    }
  });

/** The card to look at only: its cautions and steps one after the other, with nothing to answer. */
export const readingMessage = (show: Show, card: Card, place: Place, cafe: string, at: number): Message => {
  const { say } = show;
  const leaves = leavesOf(show, card, place);
  const page = Math.min(Math.max(0, at), leaves.length - 1);
  const turn = (label: string, to: number): Button => button(say(label), press('card.page', cafe, card.job, String(to)));
  return {
    title: say('cards.reading', { title: say(`cards.${card.job}.title`), n: page + 1, m: leaves.length }),
    ...message(
      leaves[page] ?? [],
      [...(page < leaves.length - 1 ? [turn('cards.button.next', page + 1)] : []), ...(page > 0 ? [turn('cards.button.back', page - 1)] : [])],
      [button(say('cards.button.start'), press('card.start', cafe, card.job, '-', '-'))],
    ),
  };
};
