import { inTen, listed, shortDate, shortened, LINE_WIDTH, inLines } from '../words/format.ts';
import { instant } from '../time/instant.ts';
import type { Closing } from './closing.ts';
import { fittedText } from './closing.ts';
import type { Handoff } from './handoff.ts';
import { HIDDEN } from './handoff-private.ts';
import { bookingOf, type BookingRecord } from './records.ts';
import { fitted, hoursText, type Show } from './show.ts';
import { causeText } from './views-what.ts';

type Details = Handoff['details'];

const joined = (show: Show, texts: readonly string[]): string => listed(texts, show.reader.locale).toLowerCase();

/** The caller's own words, what was tried, what changed, and how it should stand for the visit. */
export const wordsLines = (show: Show, { details, missing }: Handoff): readonly string[] => {
  const { say } = show;
  const { words } = details;
  const tried = details.tried.map((each) => {
    const [job = '', result = ''] = each.split('.');
    return say('booking.d.tried.one', { job: say(`faults.job.${job}.short`), result });
  });
  const changed = details.changedLately.map((answer) => say(`faults.answer.recent-change.${answer}`));
  const leave = details.leaveIt === null ? [] : [say(`booking.d.leave.${details.leaveIt}`)];
  const state = say('booking.d.state', { off: String(details.machine.now.off), hot: String(details.machine.now.hot) });
  const lacks = missing.length > 0 ? inLines(say('booking.d.missing', { facts: missing.map((fact) => say(`booking.missing.${fact.replaceAll(' ', '-')}`)).join(', ') })).slice(0, 3) : [];
  if (details.dueBy !== null) return [say('booking.due-by', { date: shortDate(details.dueBy, show.reader) }), fitted([state, ...leave].join(' ')), ...lacks];
  return [
    ...(words === null || words.text === '' ? [say('booking.d.no-words')] : inLines(say('booking.d.words', { words: shortened(words.text, 100), name: words.by })).slice(0, 2)),
    tried.length > 0 ? fitted(say('booking.d.tried', { tried: joined(show, tried) })) : say('booking.d.tried.nothing'),
    ...(changed.length > 0 ? [fitted(say('booking.d.changed', { changed: joined(show, changed) }))] : []),
    fitted([state, ...leave].join(' ')),
    ...lacks,
  ];
};

/** A question and its answer on one line; the answer is never what is cut. */
const asked = (question: string, answer: string): string => {
  const whole = `${question} ${answer}`;
  return whole.length <= LINE_WIDTH ? whole : `${shortened(question, LINE_WIDTH - answer.length - 1)} ${answer}`;
};

export const answerLines = ({ say }: Show, details: Details): readonly string[] => {
  const pair = (question: string, answer: string): string => asked(say(`faults.question.${question}`), say(`faults.answer.${question}.${answer}`));
  const all = [...details.answers.map(({ question, answer }) => pair(question, answer)), ...details.swapTests.map(({ test, result }) => pair(test, result))];
  return all.length > 0 ? all : [say('booking.d.none')];
};

export const causeLines = ({ say }: Show, details: Details): readonly string[] => {
  const all = details.causes.map(({ cause, chance }) => {
    const chances = say('ask.chance', { tenths: inTen(chance) });
    return fitted(say('booking.d.cause', { cause: causeText(say, cause), chance: chances }), say('booking.d.cause', { cause: causeText(say, cause, '.short'), chance: chances }));
  });
  return all.length > 0 ? all : [say('booking.likely.unknown')];
};

const machineKind = ({ say }: Show, { machine }: Details): string =>
  say('booking.d.machine', { kind: machine.kind === null ? say('booking.d.kind.unknown') : say(`booking.d.kind.${machine.kind}`), groups: machine.groups ?? 0, age: machine.ageYears ?? 'none', contract: machine.contract ?? 'none' });

/** The machine, its water and power, each group's seal, and the readings. */
export const machineLines = (show: Show, { details }: Handoff): readonly string[] => {
  const { say, reader } = show;
  const { machine, readings } = details;
  const power = machine.power === null ? [] : [say('booking.d.power', { volts: machine.power.volts ?? 'none', gas: machine.power.gas ? 'yes' : 'no' })];
  const water = machine.water === null ? [] : [fitted(say('booking.d.water', { feed: machine.water.feed ?? 'none', filter: machine.water.filterKind ?? 'none', age: details.filterAgeDays ?? 'none' }))];
  const seals = details.seals.flatMap((seal) => inLines(say('booking.d.seal', { group: seal.group, size: seal.sizeMm ?? 'none', shim: seal.shimMm === null || seal.shimMm === 0 ? 'none' : seal.shimMm, side: seal.sideUp ?? 'none', fitted: seal.fittedAt === null ? 'none' : shortDate(seal.fittedAt, reader), hour: seal.handleHour ?? 'none', screen: seal.screen ?? 'none' })));
  const gauges = readings.gauges.map(({ gauge, bar, at }) => fitted(say('booking.d.gauge', { gauge, bar, date: shortDate(at, reader) })));
  const flow = readings.tenSeconds.map(({ group, millilitres }) => say('booking.d.flow', { group, millilitres }));
  const hardness = readings.hardness === null ? [] : [say('booking.d.hardness', { hardness: Math.round(readings.hardness) })];
  const quiet = details.quiet[0] === undefined ? [] : [say('booking.d.quiet', { hours: hoursText(details.quiet[0], show) })];
  const decides = details.mayDecide === null ? [] : [details.mayDecide.who === HIDDEN ? say('booking.d.decides.owner') : fitted(say('booking.d.decides', { who: details.mayDecide.who }))];
  return [fitted(machineKind(show, details)), ...[...power, ...water].map((text) => text), ...seals, ...gauges, ...flow, ...hardness, ...decides, ...quiet];
};

/** What earlier visits found. */
export const historyLines = (show: Show, before: readonly BookingRecord[], closing: Pick<Closing, 'isCause' | 'isPart'>): readonly string[] => {
  const { say, reader } = show;
  const lines = before.flatMap((row) => {
    const { state } = bookingOf(row);
    if (state.kind !== 'finished') return [];
    const { cause, fitted: parts, words } = state.closeOut;
    const what = closing.isCause(cause) ? causeText(say, cause, '.short').toLowerCase() : cause;
    const with_ = parts.length === 0 ? '' : fittedText(show, parts, closing.isPart);
    const date = shortDate(instant(state.since), reader);
    return [fitted(with_ === '' ? say('booking.d.past', { date, what }) : say('booking.d.past.parts', { date, what, parts: with_ }), say('booking.d.past', { date, what })), ...(words === null ? [] : [fitted(`"${words}"`)])];
  });
  return lines.length > 0 ? lines : [say('booking.d.past.none')];
};
