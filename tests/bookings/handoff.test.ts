import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { days, hours, instant, later } from '../../src/time/instant.ts';
import { handoff, type Reader } from '../../src/bookings/handoff.ts';
import type { HandoffFacts } from '../../src/bookings/handoff-facts.ts';
import { span } from '../../src/bookings/span.ts';

const now = instant(Date.UTC(2026, 9, 13, 8, 20));
const quiet = span(later(now, hours(5)), hours(2));

const facts = (change: Partial<HandoffFacts> = {}): HandoffFacts => ({
  cafe: {
    name: 'Lantern Street',
    town: 'Valencia',
    area: 'old town',
    place: { latitude: 39.474, longitude: -0.376 },
    address: 'Lantern Street 12',
    door: 'side door, ring twice',
    contact: { name: 'Ola', telephone: '555 0120' },
    open: [],
    quiet: [quiet],
    mayDecide: { who: 'Ola', upTo: 200 },
  },
  machine: {
    kind: 'HX',
    groups: 2,
    groupsOut: [],
    ageYears: 6,
    power: { volts: 230, phases: 1, connection: 'plug', gas: false },
    water: { feed: 'mains', filterKind: 'decarbonising', filterFittedAt: later(now, -days(270)) },
    contract: 'own',
    now: { hot: true, off: false, waterShut: false, labelled: false },
    seals: [
      { group: 1, sizeMm: 8, shimMm: null, sideUp: null, screen: 'screw', fittedAt: null, handleHour: '6:15' },
      { group: 2, sizeMm: 8, shimMm: null, sideUp: null, screen: 'screw', fittedAt: later(now, -days(4)), handleHour: '6:15' },
    ],
  },
  fault: {
    symptom: 'drips at rest',
    group: 2,
    words: { text: 'right one keeps dripping even when nobody brews', by: 'Mia' },
    answers: [{ question: 'how fast', answer: 'every second' }],
    swapTests: [],
    changedLately: ['new beans'],
    tried: [],
    causes: [
      { cause: 'dirt in valve', chance: 0.15, worked: 'cold' },
      { cause: 'valve worn', chance: 0.8, worked: 'hot' },
    ],
    dangers: [],
    danger: null,
    dueBy: null,
    openDangerQuestions: 0,
  },
  readings: { gauges: [{ gauge: 'boiler', bar: 1.1, at: now }], tenSeconds: [], hardness: 60 },
  photos: [{ shows: 'plate', file: 'f1' }],
  bring: [{ part: 'valve kit', count: 1 }],
  suits: [quiet, span(later(now, -hours(3)), hours(2))],
  answerBy: later(now, hours(1)),
  ...change,
});

const before: Reader = { linked: true, taken: false, setsOutFrom: { latitude: 39.49, longitude: -0.36 } };
const stranger: Reader = { ...before, linked: false };
const after: Reader = { ...before, taken: true };

describe('what the technician gets', () => {
  test('the first screen: what, where, safe, serving, likely, parts, times', () => {
    expect(handoff(facts(), before, now).first).toEqual({
      symptom: 'drips at rest',
      group: 2,
      words: { text: 'right one keeps dripping even when nobody brews', by: 'Mia' },
      where: { kind: 'known', name: 'Lantern Street', town: 'Valencia' },
      safe: 'yes',
      dangers: [],
      danger: null,
      dueBy: null,
      serving: { kind: 'every group' },
      likely: { cause: 'valve worn', chance: 0.8, worked: 'hot' },
      bring: [{ part: 'valve kit', count: 1 }],
      suits: [quiet],
      answerBy: later(now, hours(1)),
    });
  });

  test('the details: own words, answers, what changed, the group in question first, the age of the filter', () => {
    const { details } = handoff(facts(), before, now);
    expect(details.words?.by).toBe('Mia');
    expect(details.seals.map((seal) => seal.group)).toEqual([2, 1]);
    expect(details.filterAgeDays).toBe(270);
    expect(details.causes.map((cause) => cause.cause)).toEqual(['valve worn', 'dirt in valve']);
    expect(details.mayDecide).toEqual({ who: '…', upTo: 200 });
    expect(details.leaveIt).toBe('hot');
  });

  test('"safe" is never said while a danger question is open, nor the machine left hot where there is danger', () => {
    const fault = facts().fault;
    expect(handoff(facts({ fault: { ...fault, openDangerQuestions: 1 } }), before, now).first.safe).toBe('not known');
    const wet = handoff(facts({ fault: { ...fault, dangers: ['water at electrics'], openDangerQuestions: 1 } }), before, now);
    expect(wet.first).toMatchObject({ safe: 'no', dangers: ['water at electrics'] });
    expect(wet.details.leaveIt).toBe('off');
  });

  test.each([
    [{ groups: 2, groupsOut: [2, 2] }, { kind: 'some groups', left: 1 }],
    [{ groups: 2, groupsOut: [1, 2] }, { kind: 'nothing' }],
    [{ groups: null, groupsOut: [] }, { kind: 'not known' }],
    [{ groups: 2, groupsOut: [], now: { hot: false, off: true, waterShut: null, labelled: null } }, { kind: 'nothing' }],
  ])('serving with %o: %o', (machine, serving) => {
    expect(handoff(facts({ machine: { ...facts().machine, ...machine } }), before, now).first.serving).toEqual(serving);
  });

  test('a machine that is off is not asked whether it is hot, nor a danger which group it is of', () => {
    const off = facts({ machine: { ...facts().machine, now: { hot: null, off: true, waterShut: null, labelled: null } }, fault: { ...facts().fault, group: null, danger: { off: 'off', offAt: now, people: 'fine' } } });
    expect(handoff(off, before, now).missing).not.toContain('state now');
    expect(handoff(off, before, now).missing).not.toContain('which group');
  });

  test('a service that comes round says by when, and misses no fact of a fault', () => {
    const service = facts({ fault: { ...facts().fault, symptom: 'about.yearly service', group: null, words: null, changedLately: [], causes: [], dueBy: now } });
    expect(handoff(service, before, now)).toMatchObject({ first: { dueBy: now }, details: { dueBy: now } });
    expect(handoff(service, before, now).missing).not.toContain('which group');
    expect(handoff(service, before, now).missing).not.toContain('what changed lately');
  });

  test('what is missing is named, danger first; nothing is missing when all is there', () => {
    expect(handoff(facts(), before, now).missing).toEqual([]);
    const bare = handoff(
      facts({
        machine: { ...facts().machine, kind: null, power: null, seals: [], now: { hot: null, off: null, waterShut: null, labelled: null } },
        fault: { ...facts().fault, openDangerQuestions: 2, changedLately: [] },
        photos: [],
      }),
      before,
      now,
    );
    expect(bare.missing).toEqual(['danger questions', 'state now', 'machine kind', 'power', 'what changed lately', 'seal size', 'photo of the plate']);
  });
});

describe('before and after taking it', () => {
  test('a stranger sees a part of town and a distance in whole kilometres, no name', () => {
    const shown = handoff(facts(), stranger, now);
    expect(shown.first.where).toEqual({ kind: 'vague', area: 'old town', km: 2 });
    expect(JSON.stringify(shown)).not.toContain('Lantern');
  });

  test('the one who took it gets door, address and telephone, and the words as they were typed', () => {
    expect(handoff(facts(), after, now).visit).toMatchObject({ address: 'Lantern Street 12', door: 'side door, ring twice', contact: { telephone: '555 0120' } });
    expect(handoff(facts(), after, now).details.mayDecide?.who).toBe('Ola');
  });

  test('a name inside another word is left alone', () => {
    const words = { text: 'the cola tap is fine, ask Ola on 55-50-120 at lantern  street 12', by: 'Mia' };
    expect(handoff(facts({ fault: { ...facts().fault, words } }), before, now).details.words?.text).toBe('the cola tap is fine, ask … on … at …');
  });

  const marker = fc.integer({ min: 10_000, max: 99_999 });
  const typed = fc.array(fc.constantFrom('ADDRESS', 'DOOR', 'PHONE', 'SPACED', 'CONTACT', 'NAME', 'drip', 'ß', '(', '.*'), { maxLength: 8 }).map((words) => words.join(' '));

  test('nothing private leaves before it is taken, wherever at the bar it was typed', () => {
    fc.assert(
      fc.property(marker, fc.array(typed, { minLength: 7, maxLength: 7 }), fc.boolean(), (seed, texts, linked) => {
        const secret = {
          ADDRESS: `Calle (X) ${seed}a`,
          DOOR: `code #${seed}* twice`,
          PHONE: `+34 9${seed}`,
          SPACED: `34-9${String(seed).split('').join(' ')}`,
          CONTACT: `Zoë${seed}`,
          NAME: `Café N°${seed}`,
        };
        const fillIn = (text: string) => Object.entries(secret).reduce((left, [word, value]) => left.replaceAll(word, value), text);
        const [words, by, answer, test_, changed, tried, who] = texts.map(fillIn) as [string, string, string, string, string, string, string];
        const whole = facts();
        const filled: HandoffFacts = {
          ...whole,
          cafe: {
            ...whole.cafe,
            name: secret.NAME,
            address: secret.ADDRESS,
            door: secret.DOOR,
            contact: { name: secret.CONTACT, telephone: secret.PHONE },
            place: { latitude: 39.4 + seed / 1e7, longitude: -0.3 - seed / 1e7 },
            mayDecide: { who, upTo: null },
          },
          fault: {
            ...whole.fault,
            words: { text: words, by },
            answers: [{ question: answer, answer }],
            swapTests: [{ test: test_, result: test_ }],
            changedLately: [changed],
            tried: [tried],
          },
        };
        const shown = JSON.stringify(handoff(filled, { ...before, linked }, now));
        const digits = shown.replace(/[\s-]/g, '');
        for (const [word, value] of Object.entries(secret)) {
          if (word === 'NAME' && linked) continue;
          expect(shown).not.toContain(value);
        }
        expect(digits).not.toContain(`349${seed}`);
        expect(shown).not.toContain(String(filled.cafe.place?.latitude));
        const open = JSON.stringify(handoff(filled, after, now));
        for (const value of [secret.ADDRESS, secret.DOOR, secret.PHONE, secret.CONTACT, secret.NAME]) expect(open).toContain(value);
      }),
      { seed: 20330, numRuns: 300 },
    );
  });
});
