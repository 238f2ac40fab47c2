import { button, line, message, type Button, type Line, type Message, type Picture } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { days, instant, later, type Instant } from '../time/instant.ts';
import type { Say } from '../words/catalogue.ts';
import { clockTime, dateAndTime, inTen, millimetres, shortDate, type Reader } from '../words/format.ts';
import { HANDLE_VALUES, wordOf, type LookStep } from './look-steps.ts';
import type { ToldReason, ToldVerdict } from './record-verdict.ts';
import type { SealShelf, Stack } from './shelf.ts';

export type Show = { readonly say: Say; readonly reader: Reader };

/** A look under way, as far as its next question needs it. */
export type LookView = { readonly look: string; readonly step: LookStep; readonly group: number; readonly groups: number; readonly hot: boolean; readonly first: boolean };

export type GroupVerdict = { readonly group: number; readonly verdict: ToldVerdict; readonly at: Instant };
export type ResultView = { readonly look: string; readonly by: string; readonly at: Instant; readonly hot: boolean; readonly verdicts: readonly GroupVerdict[] };

const MOST_LINES = 4;

/** Which one it is as you stand at the machine. */
const sideOf = (group: number, groups: number): string => {
  if (groups === 1) return 'only';
  if (group === 1) return 'left';
  return group === groups ? 'right' : 'middle';
};

export const stackText = ({ say, reader }: Show, size: { readonly sealMm: number; readonly shimMm: number }): string =>
  size.shimMm > 0
    ? say('look.size.shim', { seal: millimetres(size.sealMm, reader.locale), shim: millimetres(size.shimMm, reader.locale) })
    : say('look.size.plain', { seal: millimetres(size.sealMm, reader.locale) });

/** How many of a size the café has, its shim with it; nothing where nobody ever told of its shelf. */
export const shelfText = ({ say }: Pick<Show, 'say'>, size: Stack, shelf: SealShelf): string => {
  if (!shelf) return '';
  const { onHand, onOrder, lacks } = shelf(size);
  return say('sizes.here', { state: onHand > 0 ? 'here' : onOrder > 0 ? 'coming' : (lacks ?? 'none'), n: onHand > 0 ? onHand : onOrder });
};

/** What is known of the size to have ready: the seals on the shelf, one that would do instead, and how the sizes would stand. */
export type Ready = { readonly shelf: SealShelf; readonly instead?: { readonly sealMm: number; readonly at: string }; readonly pictures: readonly Picture[] };
const NOTHING_READY: Ready = { shelf: undefined, pictures: [] };

/** Another size than the one that served, and no reading of a new seal that speaks for it. */
const isDoubtful = (size: ToldVerdict['size']): boolean => size !== undefined && !size.same && !size.sure;

const readyLines = (show: Show, size: (Stack & Partial<NonNullable<ToldVerdict['size']>>) | undefined, { shelf, instead }: Ready): readonly string[] => {
  if (!size) return [show.say('look.plan.size-unknown')];
  const sure = size.same === false && size.sure === false ? 'no' : 'yes';
  const ready = `${show.say('look.plan.ready', { size: stackText(show, size), sure })} ${shelfText(show, size, shelf)}`.trim();
  return [ready, ...(instead ? [show.say('sizes.instead', { seal: millimetres(instead.sealMm, show.reader.locale), at: instead.at })] : [])];
};

const withPictures = (told: Message, pictures: readonly Picture[]): Message => (pictures.length > 0 ? { ...told, pictures } : told);

export const handlesPicture = (say: Say): Picture => ({
  name: 'five-handles.png',
  alt: say('look.picture.handles'),
  draw: async () => (await import('./drawings.ts')).handlesPicture(say),
});

const answersTo = (step: LookStep): readonly (readonly string[])[] => {
  switch (step) {
    case 'state':
      return [['cold', 'hot']];
    case 'handle':
      return [['left', 'bit-left', 'straight'], ['bit-right', 'right'], ['stop', 'none']];
    case 'closes':
      return [['right', 'left'], ['none']];
    case 'feel':
      return [['soft', 'hard'], ['cracked', 'none']];
    case 'finger':
      return [['clean', 'black'], ['none']];
    case 'done':
      return [];
  }
};

const rowsFor = (say: Say, step: LookStep, toPress: (word: string) => ReturnType<typeof press>): readonly (readonly Button[])[] =>
  answersTo(step).map((row) => row.map((word) => button(say(`look.${step}.${word}`), toPress(word))));

/** One question of the look; `told` is the verdict on the group just finished. */
export const questionMessage = ({ say }: Show, view: LookView, told?: string): Message => {
  const { step, group, groups, hot, first } = view;
  const handle = step === 'handle';
  const lines = [
    ...(told === undefined ? [] : [told]),
    ...(handle && hot && first ? [say('look.hot')] : []),
    ...(handle ? [say(hot ? 'look.ask.handle.hot' : 'look.ask.handle.cold', { group, side: sideOf(group, groups) })] : []),
    say(`look.ask.${step}`),
  ];
  return {
    ...message(lines, ...rowsFor(say, step, (word) => press('look.say', view.look, String(group), step, word))),
    ...(handle ? { pictures: [handlesPicture(say)] } : {}),
  };
};

export const fixMessage = ({ say }: Show, look: string, reading: { readonly id: string; readonly what: string; readonly group: number }): Message => {
  const step = reading.what as LookStep;
  return { ...message([say('look.fix', { group: reading.group }), say(`look.ask.${step}`)], ...rowsFor(say, step, (word) => press('look.fix', look, reading.id, word))), ...(step === 'handle' ? { pictures: [handlesPicture(say)] } : {}) };
};

/** Which answer was different? */
export const correctMessage = ({ say }: Show, look: string, readings: readonly { readonly id: string; readonly group: number; readonly what: string; readonly value: string }[]): Message => {
  const from = readings.slice(0, 25).map(({ id, group, what, value }) => ({ value: id, label: say('look.correct.option', { group, what: say(`look.what.${what}`), answer: say(`look.${what}.${wordOf(what, value)}`) }) }));
  return from.length === 0 ? message([say('look.correct.none')]) : message([say('look.correct')], { ask: say('look.correct.pick'), press: press('look.which', look), from });
};

const inDays = (at: Instant, n: number): Instant => later(at, days(Math.max(0, Math.round(n))));

const sizeWords = (show: Show, verdict: ToldVerdict): string => {
  const { size } = verdict;
  if (!size) return show.say('look.size.unknown');
  return show.say(size.same ? 'look.size.same' : 'look.size.other', { size: stackText(show, size) });
};

const shortSize = ({ say, reader }: Show, { size }: ToldVerdict): string =>
  size ? say('look.size.short', { seal: millimetres(size.sealMm, reader.locale), shim: size.shimMm > 0 ? millimetres(size.shimMm, reader.locale) : 'none' }) : say('look.size.short.unknown');

/** What to do with one group, in one line. */
export const verdictLine = (show: Show, { group, verdict, at }: GroupVerdict): string => {
  const { say, reader } = show;
  const date = shortDate(inDays(at, verdict.inDays ?? 0), reader);
  const values = { group, date, size: sizeWords(show, verdict), short: shortSize(show, verdict) };
  if (verdict.kind === 'out-of-use') return say(verdict.reasons.some(({ kind }) => kind === 'crumbling') ? 'look.verdict.out.crumbling' : 'look.verdict.out.handle', values);
  return say(`look.verdict.${verdict.kind}`, values);
};

/** Verdicts that call for a seal to be ordered or fitted. */
export const wantsChange = ({ verdict }: GroupVerdict): boolean => verdict.kind === 'order' || verdict.kind === 'change-now' || (verdict.kind === 'out-of-use' && verdict.size !== undefined);
const wantsBooking = ({ verdict }: GroupVerdict): boolean => verdict.kind === 'book';
const GRAVITY = ['keep', 'look-again', 'order', 'change-now', 'book', 'out-of-use'];
export const gravestFirst = (verdicts: readonly GroupVerdict[]): readonly GroupVerdict[] => verdicts.toSorted((a, b) => GRAVITY.indexOf(b.verdict.kind) - GRAVITY.indexOf(a.verdict.kind) || a.group - b.group);

/** A look in the café's channel, as its verdicts stand now. */
export const resultMessage = (show: Show, view: ResultView, pictures: readonly Picture[] = []): Message => {
  const { say, reader } = show;
  const head = say(view.hot ? 'look.result.hot' : 'look.result', { time: clockTime(view.at, reader), name: view.by });
  const lines: readonly Line[] = view.verdicts.map((each) => line(verdictLine(show, each), each.verdict.kind === 'out-of-use' ? 'danger' : 'plain'));
  const changes = gravestFirst(view.verdicts).filter(wantsChange);
  const plan = changes.map(({ group }) => button(say(changes.length === 1 ? 'look.button.plan' : 'look.button.plan-group', { group }), press('look.plan', view.look, String(group)), 'main'));
  const bookings = view.verdicts.filter(wantsBooking);
  const book = bookings.map(({ group }) => button(say(bookings.length === 1 ? 'look.button.book' : 'look.button.book-group', { group }), press('look.book', view.look, String(group)), 'main'));
  const buttons = [button(say('look.button.why'), press('look.why', view.look)), button(say('look.button.correct'), press('look.correct', view.look))];
  const rows = plan.length + book.length > 1 ? [[...plan, ...book].slice(0, 5), buttons] : [[...plan, ...book, ...buttons]];
  return withPictures(lines.length < MOST_LINES ? message([line(head, 'strong'), ...lines], ...rows) : { ...message(lines, ...rows), title: head }, pictures);
};

/** A group that a look put out of use, told on its own; once it is back, the same message says so. */
export const outMessage = (show: Show, look: string, told: GroupVerdict, by: { readonly name: string; readonly at: Instant; readonly groups: number; readonly back: boolean }): Message => {
  const { say, reader } = show;
  const { group, verdict } = told;
  if (by.back) return message([say('look.out.back', { group })]);
  const found = say('look.out.found', { time: clockTime(by.at, reader), name: by.name, short: shortSize(show, verdict), known: verdict.size ? 'yes' : 'no', sure: isDoubtful(verdict.size) ? 'no' : 'yes' });
  return message(
    [line(verdictLine(show, told), 'danger'), say('look.out.leave', { groups: by.groups }), found],
    [button(say('look.button.plan'), press('look.plan', look, String(group)), 'main'), button(say('look.button.book'), press('look.book', look, String(group)))],
  );
};

/** What a technician is told of a group that was looked at; stored as it was said. */
export const seenText = (show: Show, told: GroupVerdict): string => {
  const [first] = told.verdict.reasons;
  return [verdictLine(show, told), ...(first ? [reasonLine(show, first, told)] : [])].join(' ');
};

const reasonLine = ({ say, reader }: Show, reason: ToldReason, { verdict: { closesLeft }, at }: GroupVerdict): string =>
  say(`look.reason.${reason.kind}`, {
    closes: closesLeft === true ? 'left' : 'right',
    n: inTen(reason.chance ?? 0), mm: millimetres(Math.round((reason.neededMm ?? 0) * 2) / 2, reader.locale),
    date: shortDate(inDays(at, reason.inDays ?? 0), reader), why: reason.why === 'longest-time' ? 'half' : 'cheapest',
  });

/** Why the gravest of the verdicts is as it is; `picture` shows the handle over time. */
export const whyMessage = (show: Show, view: ResultView, pictures: readonly Picture[]): Message => {
  const [gravest] = gravestFirst(view.verdicts);
  if (!gravest) return message([show.say('look.gone')]);
  const reasons = gravest.verdict.reasons.slice(0, MOST_LINES - 1).map((reason) => reasonLine(show, reason, gravest));
  const lines = [line(verdictLine(show, gravest), 'strong'), ...(reasons.length > 0 ? reasons : [show.say('look.reason.none')])];
  return { ...message(lines), ...(pictures.length > 0 ? { pictures } : {}) };
};

/** When to change it: what it takes, what to have ready, and the next cold mornings. */
export const planMessage = (show: Show, look: string, { group, verdict }: GroupVerdict, times: readonly Instant[], ready: Ready = NOTHING_READY): Message => {
  const { say, reader } = show;
  const lines = [say('look.plan.takes', { group }), ...readyLines(show, verdict.size, ready)];
  if (times.length === 0) return withPictures(message([...lines, say('look.plan.no-hours')]), ready.pictures);
  return withPictures(message([...lines, say('look.plan.when')], times.map((at) => button(dateAndTime(at, reader), press('look.plan-at', look, String(group), at.toString(36)))), [button(say('look.button.not-yet'), press('look.plan-not', look))]), ready.pictures);
};

export const plannedMessage = ({ say, reader }: Show, group: number, at: number): Message => message([say('look.planned', { group, time: dateAndTime(instant(at), reader) })]);

/** At the planned hour: the card is one press away. */
export const dueMessage = (show: Show, plan: { readonly cafe: string; readonly group: number; readonly size: { readonly sealMm: number; readonly shimMm: number } | undefined }, ready: Ready = NOTHING_READY): Message =>
  withPictures(
    message(
      [line(show.say('look.due', { group: plan.group }), 'strong'), ...readyLines(show, plan.size, ready)],
      [button(show.say('look.button.card'), press('card.start', plan.cafe, 'seal-any', String(plan.group), '-'), 'main')],
    ),
    ready.pictures,
  );

/** The look offered: from a reminder, a command or words. */
export const offerMessage = ({ say }: Show, cafe: string, again: number | null): Message =>
  message([say(again === null ? 'look.offer' : 'look.offer.again', { group: again ?? 0 })], [button(say('look.button.start'), press('look.start', cafe, '-'), 'main')]);

export const ALL_HANDLES = Object.keys(HANDLE_VALUES);
