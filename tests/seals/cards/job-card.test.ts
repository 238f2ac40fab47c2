import { describe, expect, test } from 'vitest';
import { hours, instant, later, minutes, type Instant } from '../../../src/time/instant.ts';
import type { Card, CardPart } from '../../../src/seals/cards-config.ts';
import { ASK_AGAIN, asked, begin, handOver, isCooled, move, screenAt, screensOf, type CardAct, type Progress } from '../../../src/seals/job-card.ts';
import { seeded } from '../random.ts';
import { allCards, book } from './config.ts';

const START = instant(Date.parse('2027-03-11T05:30:00Z'));
const cardOf = (job: string): Card => book.cards.get(job) as Card;

/** Presses straight through a card to the answer; returns every screen on the way. */
const walk = (card: Card, by = 'sam'): readonly Progress[] => {
  const seen: Progress[] = [begin(card, START)];
  for (let now = START; seen.length < 60; now = later(now, minutes(1))) {
    const here = seen.at(-1) as Progress;
    const screen = screenAt(card, here.at);
    if (here.state === 'ended') return seen;
    const cured = card.check.answers.find(({ leads }) => leads === 'cured')?.id ?? '';
    const act: CardAct = screen.kind === 'check' ? { kind: 'answer', on: here.at, answer: cured } : { kind: screen.kind === 'block' ? 'ready' : 'next', on: here.at };
    seen.push(move(card, here, act, by, now).progress);
  }
  throw new Error(`${card.job} never ends`);
};

describe.each(allCards.map((card) => [card.job, card] as const))('%s', (_, card) => {
  test('hot and cold: every step stands under the cautions it needs, and they come first', () => {
    const screens = screensOf(card);
    const passed = new Set<number>();
    for (const progress of walk(card)) {
      const screen = screenAt(card, progress.at);
      const part = card.parts[screen.part] as CardPart;
      if (screen.kind === 'block') passed.add(screen.part);
      if (screen.kind !== 'step') continue;
      expect(part.block === 'none' || passed.has(screen.part)).toBe(true);
      if (screen.step.machine === 'cold') expect(isCooled(part)).toBe(true);
      if (screen.step.machine === 'hot') expect(part.block).toBe('hot');
      if (progress.state === 'on' && part.block !== 'none') expect(progress.assured).toMatchObject({ part: screen.part, by: 'sam' });
    }
    const walked = walk(card);
    expect(walked.map(({ at }) => at)).toEqual([...screens.keys(), screens.length - 1]);
    expect(walked.at(-1)).toMatchObject({ state: 'ended', result: 'cured', apart: false, residue: false });
  });

  test('once opened it counts as in pieces until it is closed up, and detergent until it is rinsed', () => {
    for (const progress of walk(card)) {
      const screen = screenAt(card, progress.at);
      if (screen.kind === 'step' && card.parts[screen.part]?.block === 'cold' && progress.state === 'on') expect(progress.apart).toBe(true);
      if (screen.kind === 'step' && screen.step.residue === 'in') expect(progress.residue).toBe(true);
      if (screen.kind !== 'check' && card.parts[screen.part]?.block === 'hot' && screen.kind === 'step') expect(progress.apart).toBe(false);
    }
  });
});

type Press = { readonly act: CardAct; readonly by: string; readonly pause: number };

const randomPress = (pick: <T>(all: readonly T[]) => T, card: Card): Press => {
  const on = pick([...screensOf(card).keys()]);
  const kind = pick(['ready', 'not-yet', 'next', 'next', 'next', 'ready', 'back', 'pause', 'go-on', 'wrong', 'return', 'answer'] as const);
  const act: CardAct = kind === 'answer' ? { kind, on, answer: pick(card.check.answers).id } : kind === 'go-on' || kind === 'wrong' || kind === 'return' ? { kind } : { kind, on };
  return { act, by: pick(['sam', 'sam', 'sam', 'mia']), pause: pick([0, minutes(1), minutes(30), ASK_AGAIN + 1, hours(20)]) };
};

test('pressed at random, by two people and after long pauses, no step is ever shown that its doer has not just answered for (seed 4711)', () => {
  const { pick } = seeded(4711);
  let steps = 0;
  for (let round = 0; round < 1000; round++) {
    const card = pick(allCards);
    let progress = begin(card, START);
    let doer = 'sam';
    let now: Instant = START;
    for (let n = 0; n < 60 && progress.state !== 'ended'; n++) {
      const press = randomPress(pick, card);
      now = later(now, press.pause);
      if (press.by !== doer && pick([true, false, false])) {
        doer = press.by;
        progress = handOver(card, progress, doer, now);
      }
      // Half of the presses fit the screen they were meant for, as real ones do.
      const act = 'on' in press.act && pick([true, false]) ? { ...press.act, on: progress.at } : press.act;
      progress = move(card, progress, act, doer, now).progress;
      const shown = asked(card, progress, doer, now);
      const screen = screenAt(card, shown.at);
      const part = card.parts[screen.part] as CardPart;
      if (shown.state !== 'on' || screen.kind === 'block' || part.block === 'none') continue;
      steps++;
      expect(shown.assured).toMatchObject({ part: screen.part, by: doer });
      expect(now - shown.touched).toBeLessThanOrEqual(ASK_AGAIN);
      if (screen.kind === 'step' && screen.step.machine === 'cold') expect(shown.apart).toBe(true);
    }
  }
  expect(steps).toBeGreaterThan(3000);
});

describe('a cold card', () => {
  const card = cardOf('seal-screw');
  const atStep = (): Progress => {
    const opened = move(card, begin(card, START), { kind: 'ready', on: 0 }, 'sam', START).progress;
    return move(card, opened, { kind: 'next', on: 1 }, 'sam', START).progress;
  };

  test('next under the cautions does not pass them', () => {
    expect(move(card, begin(card, START), { kind: 'next', on: 0 }, 'sam', START)).toMatchObject({ kind: 'stale', progress: { at: 0 } });
  });

  test('untouched for two hours it asks how the machine stands, and goes on where it was', () => {
    const late = later(START, ASK_AGAIN + 1);
    const pressed = move(card, atStep(), { kind: 'next', on: 2 }, 'sam', late);
    expect(pressed).toMatchObject({ kind: 'stale', progress: { at: 0, goesTo: 2, assured: null } });
    expect(move(card, pressed.progress, { kind: 'ready', on: 0 }, 'sam', late).progress).toMatchObject({ at: 2, goesTo: null });
  });

  test('in other hands it asks again, and still goes on where it was', () => {
    const handed = handOver(card, atStep(), 'mia', START);
    expect(handed).toMatchObject({ at: 0, goesTo: 2, assured: null });
    expect(handOver(card, handed, 'lina', START)).toMatchObject({ at: 0, goesTo: 2 });
  });

  test('what one has answered for is not answered for another', () => {
    expect(asked(card, atStep(), 'mia', START)).toMatchObject({ at: 0, goesTo: 2, assured: null });
    expect(asked(card, atStep(), 'sam', START)).toEqual(atStep());
  });

  test('a press under a screen that has moved on changes nothing', () => {
    const here = atStep();
    expect(move(card, here, { kind: 'next', on: 1 }, 'sam', START)).toEqual({ kind: 'stale', progress: here });
    expect(move(card, here, { kind: 'ready', on: 0 }, 'sam', START)).toEqual({ kind: 'stale', progress: here });
  });

  test('in pieces it cannot be left, only paused', () => {
    expect(move(card, atStep(), { kind: 'leave' }, 'sam', START).kind).toBe('stale');
    expect(move(card, begin(card, START), { kind: 'leave' }, 'sam', START).progress.result).toBe('left');
  });

  test('a danger ends it and it stays in pieces', () => {
    expect(move(card, atStep(), { kind: 'danger' }, 'sam', START).progress).toMatchObject({ state: 'ended', result: 'danger', apart: true });
  });

  test('going back from the hot part stops at its cautions', () => {
    const last = walk(card).find(({ at }) => screenAt(card, at).kind === 'step' && screenAt(card, at).part === 1) as Progress;
    const back = move(card, last, { kind: 'back', on: last.at }, 'sam', last.touched).progress;
    expect(screenAt(card, back.at)).toMatchObject({ kind: 'block', part: 1 });
    expect(move(card, back, { kind: 'back', on: back.at }, 'sam', last.touched).kind).toBe('stale');
  });
});

test('foam at the check of a backflush leads back to its rinsing', () => {
  const card = cardOf('backflush-detergent');
  const end = walk(card).at(-2) as Progress;
  expect(move(card, end, { kind: 'answer', on: end.at, answer: 'foam' }, 'sam', end.touched).progress).toMatchObject({ state: 'on', at: 5 });
});
