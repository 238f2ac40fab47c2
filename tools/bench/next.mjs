import { createRequire } from 'node:module';
import { calendarOf } from '../../dist/cafe/calendar.js';
import { nextDue } from '../../dist/cafe/hours-due.js';
import { parseRule } from '../../dist/time/recurrence-text.js';
import { chance } from '../../tests/crash/chance.mjs';
import { median } from './figures.mjs';

const { RRuleTemporal } = createRequire(import.meta.url)('rrule-temporal');
const { DateTime, RRuleSet } = createRequire(import.meta.url)('rrule-rust');

const ZONE = 'Europe/Madrid';
const RULES = ['FREQ=DAILY', 'FREQ=WEEKLY;BYDAY=TH', 'FREQ=WEEKLY;INTERVAL=2;BYDAY=MO,TH', 'FREQ=MONTHLY;BYDAY=1WE'];
const DAY = 86_400_000;
/** Far from the hours at which clocks change here: what each library does with a skipped time is not what is timed. */
const TIME = '15:30';
const START = '2024-01-01';

const cafe = calendarOf({ id: 'c', zone: ZONE, hours: JSON.stringify({ days: Array.from({ length: 7 }, () => [{ from: 480, to: 1350 }]), holidays: [] }), exceptions: '[]', cleaning_before: 30, rush: null, quiet: null });

const ours = (text) => {
  const repeat = { rule: parseRule(text).rule, start: START, moment: { kind: 'clock', time: TIME }, onClosed: 'stay' };
  return (after) => nextDue(repeat, cafe, after).at;
};
const temporal = (text) => {
  const rule = new RRuleTemporal({ rruleString: `DTSTART;TZID=${ZONE}:20240101T153000\nRRULE:${text}` });
  return (after) => rule.next(new Date(after)).epochMilliseconds;
};
const utc = (at) => {
  const date = new Date(at);
  return DateTime.utc(date.getUTCFullYear(), date.getUTCMonth() + 1, date.getUTCDate(), date.getUTCHours(), date.getUTCMinutes(), 0);
};
const rust = (text) => {
  const set = RRuleSet.fromString(`DTSTART;TZID=${ZONE}:20240101T153000\nRRULE:${text}`);
  // It has no "next": the first of the shortest window that surely holds one.
  const window = text.startsWith('FREQ=MONTHLY') ? 38 : text.includes('INTERVAL=2') ? 15 : text === 'FREQ=DAILY' ? 2 : 8;
  return (after) => set.between(utc(after), utc(after + window * DAY), false)[0].toTimestamp();
};

const luck = chance(2026);
const someMoments = () => Array.from({ length: 400 }, () => Date.parse('2026-01-01T00:00Z') + luck.below(365 * 24 * 60) * 60_000);

const ROUNDS = 31;

/**
 * Next occurrences a second of each, the rounds of all taken in turn, so that a busy moment of the machine falls on all
 * of them and a ratio taken round by round keeps its meaning. Fresh moments each round: no remembered answer is timed.
 */
const speedsOf = (makers) => {
  const nexts = makers.map((make) => RULES.map(make));
  const once = (each, moments) => {
    const from = performance.now();
    for (const next of each) for (const at of moments) next(at);
    return (each.length * moments.length * 1000) / (performance.now() - from);
  };
  const round = () => {
    const moments = someMoments();
    return nexts.map((each) => once(each, moments));
  };
  round();
  return Array.from({ length: ROUNDS }, round);
};

/** A figure for answers that differ would mean nothing. */
const compare = () => {
  for (const text of RULES) {
    const [a, b, c] = [ours, temporal, rust].map((make) => make(text));
    for (const at of someMoments()) if (a(at) !== b(at) || a(at) !== c(at)) throw new Error(`${text} after ${new Date(at).toISOString()}: ${[a(at), b(at), c(at)].map((each) => new Date(each).toISOString()).join(', ')}`);
  }
};

export const benchNext = async () => {
  compare();
  const rounds = speedsOf([ours, temporal, rust]);
  const times = (other) => median(rounds.map((speeds) => speeds[0] / speeds[other]));
  return [
    { what: 'next occurrence in a zone, rules kept parsed', value: median(rounds.map(([mine]) => mine)), unit: '/s' },
    { what: 'next occurrence, against rrule-temporal', ratio: times(1), least: 1 },
    { what: 'next occurrence, against rrule-rust', ratio: times(2), least: 1 },
  ];
};
