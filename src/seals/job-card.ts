import { hours, type Instant } from '../time/instant.ts';
import type { Card, CardAnswer, CardPart, CardStep } from './cards-config.ts';

/** What a card shows one after the other: the cautions of a part, its steps, and at the end the check. */
export type CardScreen =
  | { readonly kind: 'block'; readonly part: number }
  | { readonly kind: 'step'; readonly part: number; readonly step: CardStep; /** Counted through the whole card from 1. */ readonly number: number }
  | { readonly kind: 'check'; readonly part: number };

export type CardResult = 'cured' | 'better' | 'same' | 'danger' | 'book' | 'left';

/** Who said of which part that the machine is as its cautions ask, and when. */
export type Assured = { readonly part: number; readonly by: string; readonly at: Instant };

/** A card in progress. */
export type Progress = {
  readonly state: 'on' | 'paused' | 'wrong' | 'ended';
  /** The screen it stands at, counted from 0. */
  readonly at: number;
  /** The screen to go on to once the cautions are answered again. */
  readonly goesTo: number | null;
  readonly assured: Assured | null;
  /** The machine may be in pieces: a step of a cold part was shown, and it is not switched on again. */
  readonly apart: boolean;
  /** Detergent may be left behind. */
  readonly residue: boolean;
  readonly touched: Instant;
  readonly result: CardResult | null;
  readonly answer: string | null;
};

/** What a button says. `on` is the screen it stood under: pressed under another one it changes nothing. */
export type CardAct =
  | { readonly kind: 'ready' | 'not-yet' | 'next' | 'back' | 'pause'; readonly on: number }
  | { readonly kind: 'answer'; readonly on: number; readonly answer: string }
  | { readonly kind: 'go-on' | 'wrong' | 'return' | 'danger' | 'leave' };

export type Moved = { readonly kind: 'moved' | 'stale'; readonly progress: Progress };

/** After so long without a press the state of the machine is asked again: others were at it meanwhile. Judgement, no source. */
export const ASK_AGAIN = hours(2);

export const screensOf = (card: Card): readonly CardScreen[] => {
  let number = 0;
  const screens = card.parts.flatMap((part, p): readonly CardScreen[] => [
    ...(part.block === 'none' ? [] : [{ kind: 'block', part: p } as const]),
    ...part.steps.map((step) => ({ kind: 'step', part: p, step, number: ++number }) as const),
  ]);
  return [...screens, { kind: 'check', part: card.parts.length - 1 }];
};

/** A shape that changes when the card was rewritten in a way a card in progress cannot follow. */
export const shapeOf = (card: Card): string => card.parts.map((part) => `${part.block[0]}${part.steps.length}`).join('');

export const isCooled = (part: CardPart | undefined): boolean => part?.block === 'cold' && part.lines.includes('cool');

/** Does this card take a machine that is off and cold? */
export const cools = (card: Card): boolean => card.parts.some(isCooled);
/** Is something switched off or taken apart, so that it has to be whole again before the door opens? */
export const takesApart = (card: Card): boolean => card.parts.some((part) => part.block === 'cold');

const switchesOn = (card: Card): boolean => card.parts.some((part) => part.steps.some((step) => step.does.includes('switch-on')));

/** Does any of it need the machine on, or switch it on? A grinder has a plug of its own. */
export const needsItOn = (card: Card): boolean => card.for !== 'grinder' && (switchesOn(card) || card.parts.some((part) => part.block === 'hot'));

/** Is the machine cold, or at least off, in between, so that it has to heat up again? */
export const heatsAgain = (card: Card): boolean => card.for !== 'grinder' && takesApart(card) && switchesOn(card);

/** Can detergent be left behind half-way through this card? */
export const usesDetergent = (card: Card): boolean => card.parts.some((part) => part.steps.some((step) => step.residue === 'in'));

export const screenAt = (card: Card, at: number): CardScreen => {
  const screen = screensOf(card)[at];
  if (!screen) throw new RangeError(`card ${card.job} has no screen ${at}`);
  return screen;
};

const blockOf = (card: Card, part: number): number => screensOf(card).findIndex((screen) => screen.kind === 'block' && screen.part === part);

const isAssured = ({ assured, touched }: Progress, part: number, by: string, now: Instant): boolean =>
  assured !== null && assured.part === part && assured.by === by && now - touched <= ASK_AGAIN;

/** The card as it has to be shown at `now`: behind its cautions again when nobody has touched it for long. `by` is who does it. */
export const asked = (card: Card, progress: Progress, by: string, now: Instant): Progress => {
  if (progress.state !== 'on') return progress;
  const screen = screenAt(card, progress.at);
  const block = blockOf(card, screen.part);
  if (screen.kind === 'block' || block < 0 || isAssured(progress, screen.part, by, now)) return progress;
  return { ...progress, at: block, goesTo: progress.at, assured: null };
};

const isOn = (step: CardStep): boolean => step.does.includes('switch-on');

/** What arriving at a screen makes true: the machine opened, or detergent in it. */
const arrived = (card: Card, progress: Progress): Progress => {
  const screen = screenAt(card, progress.at);
  if (screen.kind !== 'step') return progress;
  const cold = card.parts[screen.part]?.block === 'cold';
  return { ...progress, apart: progress.apart || cold, residue: progress.residue || screen.step.residue === 'in' };
};

/** A card at its first screen. */
export const begin = (card: Card, now: Instant): Progress =>
  arrived(card, { state: 'on', at: 0, goesTo: null, assured: null, apart: false, residue: false, touched: now, result: null, answer: null });

/** What going on from a step makes true. */
const finished = (card: Card, progress: Progress): Progress => {
  const screen = screenAt(card, progress.at);
  if (screen.kind !== 'step') return progress;
  return { ...progress, apart: progress.apart && !isOn(screen.step), residue: progress.residue && screen.step.residue !== 'out' };
};

const goTo = (card: Card, progress: Progress, to: number, by: string, now: Instant): Progress => {
  const there = asked(card, { ...progress, state: 'on', at: to, goesTo: null }, by, now);
  return arrived(card, { ...there, touched: now });
};

const end = (progress: Progress, result: CardResult, answer: string | null): Progress => ({
  ...progress, state: 'ended', result, answer, goesTo: null, assured: null,
  // An answered check means that it is whole again, unless it stopped half-way.
  apart: progress.apart && (result === 'danger' || result === 'book'),
});

const answered = (card: Card, progress: Progress, answer: CardAnswer, by: string, now: Instant): Progress => {
  const { leads } = answer;
  if (typeof leads === 'string') return { ...end(progress, leads, answer.id), touched: now };
  const to = screensOf(card).findIndex((screen) => screen.kind === 'step' && screen.number === leads.step);
  return goTo(card, progress, to, by, now);
};

const resumed = (card: Card, progress: Progress, by: string, now: Instant): Progress => {
  const screen = screenAt(card, progress.at);
  const cold = card.parts[screen.part]?.block === 'cold';
  // What was cold when it was left may have been switched on by somebody else.
  return goTo(card, { ...progress, assured: cold ? null : progress.assured }, progress.goesTo ?? progress.at, by, now);
};

const whileOn = (card: Card, progress: Progress, act: Exclude<CardAct, { kind: 'go-on' | 'wrong' | 'return' | 'danger' | 'leave' }>, by: string, now: Instant): Progress | undefined => {
  const screen = screenAt(card, progress.at);
  switch (act.kind) {
    case 'ready': {
      if (screen.kind !== 'block') return undefined;
      // Going on hot, or with the plug in, is said of a machine that is closed up.
      const apart = progress.apart && card.parts[screen.part]?.block === 'cold';
      return goTo(card, { ...progress, apart, assured: { part: screen.part, by, at: now }, touched: now }, progress.goesTo ?? progress.at + 1, by, now);
    }
    case 'not-yet':
      return screen.kind === 'block' ? { ...progress, state: 'paused', assured: null, touched: now } : undefined;
    case 'next':
      return screen.kind === 'step' ? goTo(card, finished(card, progress), progress.at + 1, by, now) : undefined;
    case 'back':
      return progress.at > 0 && screen.kind !== 'block' ? goTo(card, progress, progress.at - 1, by, now) : undefined;
    case 'pause':
      return { ...progress, state: 'paused', touched: now };
    case 'answer': {
      const answer = screen.kind === 'check' ? card.check.answers.find((each) => each.id === act.answer) : undefined;
      return answer && answered(card, progress, answer, by, now);
    }
  }
};

/**
 * The card after a press. `by` is who does it, by account or name. Stale presses, presses under another screen and
 * presses that mean nothing now change nothing: `progress` is then what has to be shown.
 */
export const move = (card: Card, before: Progress, act: CardAct, by: string, now: Instant): Moved => {
  const progress = asked(card, before, by, now);
  const moved = ((): Progress | undefined => {
    if (progress.state === 'ended') return undefined;
    switch (act.kind) {
      case 'danger':
        return { ...end(progress, 'danger', null), touched: now };
      case 'leave':
        // What is in pieces is not left: it is closed up, or handed to somebody.
        return progress.apart ? undefined : { ...end(progress, 'left', null), touched: now };
      case 'wrong':
        return progress.state === 'wrong' ? undefined : { ...progress, state: 'wrong', touched: now };
      case 'return':
        return progress.state === 'wrong' ? resumed(card, progress, by, now) : undefined;
      case 'go-on':
        return progress.state === 'paused' ? resumed(card, progress, by, now) : undefined;
      default:
        return progress.state === 'on' && act.on === progress.at ? whileOn(card, progress, act, by, now) : undefined;
    }
  })();
  return moved ? { kind: 'moved', progress: moved } : { kind: 'stale', progress };
};

/** The card in somebody else's hands: the state of the machine is asked anew. */
export const handOver = (card: Card, progress: Progress, to: string, now: Instant): Progress =>
  progress.state === 'ended' ? progress : goTo(card, { ...progress, assured: null }, progress.goesTo ?? progress.at, to, now);
