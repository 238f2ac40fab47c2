import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { readCatalogue } from '../../../src/faults/catalogue-read.ts';
import { complaintOf, complaintsAt, readComplaints, stateAt, stuckAt } from '../../../src/seals/card-complaints.ts';
import { screensOf } from '../../../src/seals/job-card.ts';
import { allCards, book } from './config.ts';

const symptoms = readCatalogue('config/faults').symptoms.map(({ id }) => id);
const complaints = readComplaints('config/complaints.yaml', symptoms);
const at = (screen: number) => ({ at: screen, goesTo: null });
const card = (job: string) => book.cards.get(job) ?? allCards[0]!;

describe('what may be wrong where a card stands', () => {
  test('where a handle is locked, what handles do; behind the cautions, what the first step does', () => {
    const seal = card('seal-screw');
    const lock = screensOf(seal).findIndex((screen) => screen.kind === 'step' && screen.step.does.includes('lock'));
    expect(complaintsAt(complaints, seal, at(lock))).toEqual(['hard-to-lock', 'handle-slips', 'leak-at-rim']);
    expect(complaintsAt(complaints, seal, at(0))).toEqual(['handle-stuck', 'handle-spits', 'hard-to-lock']);
  });

  test.each(allCards.map((each) => [each.job, each] as const))('%s: never more than three, and where something is open a stuck part has a name', (_job, each) => {
    for (const [screen, shown] of screensOf(each).entries()) {
      expect(complaintsAt(complaints, each, at(screen)).length).toBeLessThanOrEqual(3);
      if (shown.kind === 'step' && shown.step.at.endsWith('-inside')) expect(stuckAt(complaints, each, at(screen))).toBeDefined();
    }
  });

  test.each(allCards.filter(({ check, again }) => [check, ...again].some(({ answers }) => answers.some(({ leads }) => leads === 'book'))).map((each) => [each.job, each] as const))('%s: a check that ends with a technician is a complaint', (_job, each) => {
    const last = screensOf(each).length - 1;
    for (const { answers } of [each.check, ...each.again]) for (const { id, leads } of answers) if (leads === 'book') expect(complaintOf(complaints, each, id, at(last)), id).toBeDefined();
  });

  test('cold only where it was said to be: not behind the cautions, not while it heats up', () => {
    const seal = card('seal-screw');
    const screens = screensOf(seal);
    expect(stateAt(seal, at(0))).toBeNull();
    expect(stateAt(seal, at(1))).toBe('cold');
    expect(stateAt(seal, { at: 0, goesTo: 3 })).toBeNull();
    expect(stateAt(seal, at(screens.findIndex((screen) => screen.kind === 'step' && screen.step.does.includes('switch-on'))))).toBeNull();
    expect(stateAt(seal, at(screens.length - 1))).toBe('hot');
  });

  test('a complaint the catalogue does not have is refused by name', () => {
    const file = join(mkdtempSync(join(tmpdir(), 'complaints-')), 'complaints.yaml');
    writeFileSync(file, 'does: {}\nat: { cup: [no-such-thing] }\nstuck: {}\nanswers: {}\n');
    expect(() => readComplaints(file, symptoms)).toThrow(/no-such-thing is no complaint/);
  });
});
