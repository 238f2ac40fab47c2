import { button, line, message, type Button, type Line, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { inLines, inTen, money, weekday } from '../words/format.ts';
import { caseName, type Because, type CaseView, type Show } from './ask-view.ts';
import type { Verdict } from './verdict.ts';

const firstJob = (verdict: Verdict): string | undefined => verdict.choice.steps[0]?.jobs[0];

/** "about 7 in 10"; "almost certainly" and "hardly" at the ends. */
const chanceWords = ({ say }: Show, chance: number): string => say('ask.chance', { tenths: inTen(chance) });

/** Below this it is not named at all: one of many that nothing speaks for. Judgement, no source. */
const WORTH_NAMING = 0.1;

/** Whether the lead is likely enough for what it asks for to be said. */
const isNamed = ({ lead }: CaseView): boolean => lead !== null && lead.cause !== 'something-else' && lead.chance >= WORTH_NAMING;

/** A group that stands still: what ends it. */
const OUT: Partial<Readonly<Record<Verdict['kind'], string>>> = { book: 'ask.verdict.out-book', 'bar-job': 'ask.verdict.out-until' };

const headline = (show: Show, view: CaseView, verdict: Verdict): string => {
  const { say } = show;
  const job = firstJob(verdict);
  const cause = view.lead?.cause;
  switch (verdict.kind) {
    case 'nothing-wrong':
      return say('ask.verdict.nothing', { what: caseName(show, view) });
    case 'bar-job':
      return say('ask.verdict.bar', { job: job === undefined ? '' : say(`faults.job.${job}`), minutes: view.jobMinutes ?? 0 });
    case 'leave-group-out':
      return say(OUT[verdict.choice.kind] ?? 'ask.verdict.out', { group: view.group ?? 0, job: job === undefined ? '' : say(`faults.job.${job}`), minutes: view.jobMinutes ?? 0 });
    case 'book':
      return say(isNamed(view) ? 'ask.verdict.book' : 'ask.verdict.book-unknown');
    case 'other-trade':
      return cause === undefined ? say('ask.verdict.trade-unknown') : say('ask.verdict.trade', { cause: causeText(show, cause) });
    case 'stop':
      return say('ask.verdict.stop');
  }
};

const causeText = ({ say }: Show, cause: string): string => cause.split('+').map((part) => say(`faults.cause.${part}`)).join(say('ask.and'));

/** Below this the likeliest of many is still unlikely, and is not called likely. Judgement, no source. */
const WORTH_CALLING_LIKELY = 0.35;

const likelyLine = (show: Show, view: CaseView, { choice: { kind } }: Verdict): readonly string[] => {
  const first = view.lead;
  if (kind === 'stop') return first ? [show.say('ask.verdict.not-ruled-out', { cause: causeText(show, first.cause) })] : [];
  const toTry = kind === 'bar-job' || kind === 'leave-group-out';
  if (!first || first.cause === 'something-else' || (first.chance < WORTH_NAMING && !toTry)) return kind === 'book' ? [] : [show.say('ask.verdict.unlike')];
  const said = { cause: causeText(show, first.cause), chance: chanceWords(show, first.chance) };
  if (first.chance >= WORTH_CALLING_LIKELY) return [show.say('ask.verdict.likely', said)];
  return [show.say(toTry ? 'ask.verdict.first-try' : 'ask.verdict.perhaps', said)];
};

const untilLine = (show: Show, view: CaseView, verdict: Verdict): readonly string[] => {
  if (verdict.choice.meanwhile === 'group-out' && view.group !== null && verdict.kind !== 'leave-group-out') return [show.say('ask.until.group-out', { group: view.group })];
  if (verdict.choice.meanwhile === 'machine-off') return [show.say('ask.until.machine-off')];
  if (verdict.choice.kind === 'bar-job' || verdict.choice.kind === 'leave-group-out') return [];
  const first = view.lead?.cause.split('+')[0];
  return first === undefined || !isNamed(view) ? [] : [show.say(`faults.cause.${first}.until`)];
};

const moneyLine = (show: Show, view: CaseView, verdict: Verdict): readonly string[] => {
  if (!view.showMoney || !verdict.money.known || view.currency === null) return [];
  const costOf = (kinds: readonly Verdict['kind'][]): number | undefined => verdict.options.find(({ kind }) => kinds.includes(kind))?.cost;
  const trying = costOf(['bar-job', 'leave-group-out']);
  const calling = costOf(['book']);
  if (trying === undefined || calling === undefined) return [];
  return [show.say('ask.verdict.money', { trying: money(trying, view.currency, show.locale), calling: money(calling, view.currency, show.locale) })];
};

const becauseText = ({ say, locale }: Show, { zone }: CaseView, { question, answer, seen }: Because): string => {
  const said = say(`faults.answer.${question}.${answer}`).toLowerCase();
  return seen === null ? said : say(`ask.known.${question}`, { answer: said, day: weekday(seen, { zone, locale }) });
};

/** "Yes" or "as always" without its question says nothing. */
const saysItself = ({ say }: Show, { question, answer, seen }: Because): boolean => seen !== null || !say('ask.bare-answers').split(', ').includes(say(`faults.answer.${question}.${answer}`).toLowerCase());

const reasonsOf = (show: Show, view: CaseView): readonly string[] => view.because.filter((each) => saysItself(show, each)).slice(0, 2).map((each) => becauseText(show, view, each));

/** Nobody knew a danger answer: what that keeps from being said, and what would change it. */
const openLine = ({ say }: Show, { open }: Verdict): readonly string[] => (open[0] === undefined ? [] : [say('ask.verdict.open'), ...inLines(say(`faults.question.${open[0]}`)).slice(0, 1)]);

/** What at this machine spoke for it. */
const reasonLine = (show: Show, view: CaseView): readonly string[] => {
  const reasons = reasonsOf(show, view);
  // What spoke for a cause too unlikely to be named explains nothing.
  return reasons.length === 0 || !isNamed(view) ? [] : [show.say('ask.verdict.because', { reasons: reasons.join('; ') })];
};

/** Who has to be asked first: another hand inside may end the contract. */
const contractLine = ({ say }: Show, { contract, contractWho }: CaseView, { choice: { kind } }: Verdict): readonly string[] =>
  contract !== null && (kind === 'book' || kind === 'stop') ? [contractWho === null ? say('ask.verdict.contract', { contract }) : say('ask.verdict.contract-who', { contract, who: contractWho })] : [];

/** Complaints in which the handle itself may come loose. */
const AT_THE_HANDLE: readonly string[] = ['leak-at-rim', 'hard-to-lock', 'handle-slips', 'handle-stuck', 'handle-spits'];

const warnLine = ({ say }: Show, { symptom }: CaseView, { choice: { kind } }: Verdict): readonly string[] => {
  if (kind === 'book') return [say('ask.warn.book')];
  return kind === 'bar-job' ? [say(AT_THE_HANDLE.includes(symptom ?? '') ? 'ask.warn.bar' : 'ask.warn.bar-other')] : [];
};

const verdictButtons = ({ say }: Show, view: CaseView, verdict: Verdict): readonly (readonly Button[])[] => {
  const { kind } = verdict.choice;
  const job = firstJob(verdict);
  const card = job === undefined ? [] : [button(say('ask.button.card'), press('card.start', view.cafe, job, view.group === null ? '-' : String(view.group), view.id), kind === 'bar-job' ? 'main' : 'plain')];
  const book = kind === 'nothing-wrong' || kind === 'other-trade' ? [] : [button(say('ask.button.book'), press('booking.ask', view.id), kind === 'book' ? 'main' : 'plain')];
  const end = button(say('ask.button.fixed'), press('case.end', view.id, 'fixed'));
  // A danger is never closed by a press on "fixed", nor talked away by changing an answer.
  if (kind === 'stop') return [[...book, button(say('ask.button.why'), press('case.why', view.id))]];
  const first = kind === 'book' ? [...book] : [...card, ...book];
  return [...(first.length > 0 ? [first] : []), [end, button(say('ask.button.why'), press('case.why', view.id)), button(say('ask.button.more'), press('case.more', view.id))]];
};

/** A verdict: one line first, then why, what it costs, and what to do until then. */
export const verdictMessage = (show: Show, view: CaseView, verdict: Verdict): Message => {
  const extra = [...moneyLine(show, view, verdict), ...untilLine(show, view, verdict), ...contractLine(show, view, verdict), ...openLine(show, verdict), ...reasonLine(show, view), ...warnLine(show, view, verdict)];
  const first = inLines(headline(show, view, verdict)).map((text) => line(text, 'strong'));
  const rest: readonly Line[] = [...likelyLine(show, view, verdict), ...extra].flatMap((text) => inLines(text)).map((text) => line(text));
  return message([...first, ...rest].slice(0, 4), ...verdictButtons(show, view, verdict));
};

/** What stands behind a verdict: the likely causes, what spoke for the first, and what would turn it. */
export const whyMessage = (show: Show, view: CaseView, verdict: Verdict): Message => {
  const { say } = show;
  const reasons = reasonsOf(show, view);
  const causes = verdict.likely.slice(0, 3).filter(({ chance }) => chance >= 0.03).map(({ cause, chance }) => say('ask.why.cause', { cause: cause === 'something-else' ? say('ask.something-else') : causeText(show, cause), chance: chanceWords(show, chance) }));
  const spoke = reasons.length > 0 ? [say('ask.why.reasons', { reasons: reasons.join('; ') })] : [];
  const turn = verdict.turning && view.showMoney && verdict.money.known && view.currency !== null ? [say('ask.why.turning', { fee: money(verdict.turning.fee, view.currency, show.locale), kind: say(`ask.kind.${verdict.turning.kind}`) })] : [];
  const unknown = verdict.money.known || !view.showMoney ? [] : [say('ask.why.no-money')];
  return message([...causes.slice(0, 2), ...spoke, ...(turn.length > 0 ? turn : unknown)].flatMap((text) => inLines(text)).slice(0, 4));
};
