import { button, line, message, type Button, type Form, type Message, type Picture } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { days, instant, later, type Instant } from '../time/instant.ts';
import { millimetres, shortDate, shortened } from '../words/format.ts';
import type { Fit } from './fit.ts';
import { HANDLE_VALUES, wordOf } from './look-steps.ts';
import { shelfText, stackText, type Show } from './look-views.ts';
import { shortStack } from './stack-text.ts';
import type { SealShelf, Stack } from './shelf.ts';
import { clockOf } from './size-picture.ts';
import { screens, sealUp } from './question-pictures.ts';
import type { NextStack, SealForecast } from './record-forecast.ts';
import type { Fitting, Reading } from './records.ts';

/** One group as the record shows it; `fitting` null: a seal nobody wrote down. */
export type GroupView = {
  readonly group: number;
  /** Its number, and of several machines which: `1 M2`. */
  readonly label?: string;
  readonly machine: string;
  readonly out: boolean;
  readonly fitting: Fitting | null;
  readonly sizeMm: number | null;
  readonly shimMm: number | null;
  readonly screen: string | null;
  readonly screenSince: number | null;
  readonly forecast: SealForecast;
  readonly fit: Fit | undefined;
  readonly next: NextStack | undefined;
  readonly looks: number;
  readonly shelf?: SealShelf;
  /** The last look at this seal said that it is to be changed. */
  readonly changeNow?: boolean;
};
export type RecordView = { readonly cafe: string; readonly name: string; readonly now: Instant; readonly groups: readonly GroupView[]; readonly cartridgeDue?: Instant | null };

const MOST_LINES = 4;

const labelOf = ({ label, group }: Pick<GroupView, 'label' | 'group'>): string => label ?? String(group);

const dayIn = (now: Instant, n: number): Instant => later(now, days(Math.max(0, Math.round(n))));

export const sinceText = ({ say, reader }: Show, fitting: Fitting | null): string =>
  fitting === null || fitting.fitted_at === null ? say('record.since.unknown') : say('record.since', { date: shortDate(instant(fitting.fitted_at), reader) });

export const sizeText = (show: Show, { sizeMm, shimMm }: Pick<GroupView, 'sizeMm' | 'shimMm'>): string =>
  sizeMm === null ? show.say('record.size.unknown') : stackText(show, { sealMm: sizeMm, shimMm: shimMm ?? 0 });

/** Neither noted nor looked at: nothing is known that could be said. */
const isUnseen = ({ fitting, looks }: GroupView): boolean => fitting === null && looks === 0;

const whenOf = (view: GroupView): string => (view.out ? 'out' : isUnseen(view) ? 'unseen' : view.changeNow === true || view.forecast.change.inDays < 7 ? 'now' : 'later');

const changeText = ({ say, reader }: Show, now: Instant, view: GroupView): string => say('record.change', { date: shortDate(dayIn(now, view.forecast.change.inDays), reader), when: whenOf(view) });

const lifePictureOf = (show: Show, { now, groups }: RecordView): Picture => {
  const { say, reader } = show;
  const date = (n: number): string => shortDate(dayIn(now, n), reader).replace(/^\S+ /, '');
  const months = [30, 60, 90, 120, 150, 180, 210].map((n) => ({ days: n, label: n % 60 === 0 ? date(n) : '' }));
  return {
    name: 'seals-left.png',
    alt: groups.map((each) => [each, each.forecast] as const).map(([each, { change, left }]) => say('record.life.alt', { when: whenOf(each), group: labelOf(each), change: date(change.inDays), low: date(left.lowDays), high: date(left.highDays) })).join(' '),
    draw: async () =>
      (await import('./life-picture.ts')).lifePicture({
        title: say('record.life.title'), today: say('look.drift.today'), key: { range: say('record.life.range'), middle: say('record.life.middle'), change: say('record.life.change') }, months,
        bars: groups.map((each) => {
          const { forecast: { change, left } } = each;
          return {
            label: say('record.group', { group: labelOf(each) }), note: say('record.life.note', { date: date(change.inDays), when: whenOf(each) }),
            lowDays: left.lowDays, medianDays: left.medianDays, highDays: left.highDays, changeDays: each.out || isUnseen(each) ? null : each.changeNow === true ? 0 : change.inDays,
          };
        }),
      }),
  };
};

/** What is fitted, since when, and what comes next, one line a group. */
export const recordMessage = (show: Show, view: RecordView): Message => {
  const { say } = show;
  if (view.groups.length === 0) return message([say('record.nothing')]);
  const cartridge = view.cartridgeDue == null ? [] : [say('record.cartridge', { date: shortDate(view.cartridgeDue, show.reader) })];
  const lines = view.groups.map((each) => say('record.line', { group: labelOf(each), size: sizeText(show, each), change: changeText(show, view.now, each) }));
  const groups: readonly Button[] = view.groups.slice(0, 5).map((each) => button(say('record.group', { group: labelOf(each) }), press('record.group', each.machine, String(each.group))));
  const more: readonly Button[] = [button(say('record.button.wall'), press('sheet.page', view.cafe)), button(say('record.button.drawings'), press('record.drawings', view.cafe))];
  const head = say('record.head', { name: shortened(view.name, 30) });
  const pictures = [lifePictureOf(show, view)];
  return lines.length < MOST_LINES ? { ...message([line(head, 'strong'), ...[...lines, ...cartridge].slice(0, MOST_LINES - 1)], groups, more), pictures } : { ...message(lines.slice(0, MOST_LINES), groups, more), title: head, pictures };
};

const shapeText = ({ say, reader }: Show, fitting: Fitting | null): readonly string[] => {
  if (fitting === null) return [];
  const { outside_mm: outside, inside_mm: inner, profile, side_up: side } = fitting;
  const across = outside === null || inner === null ? [] : [say('record.across', { outside: millimetres(outside, reader.locale), inside: millimetres(inner, reader.locale) })];
  const parts = [...across, ...(profile === null ? [] : [shortened(profile, 20)]), ...(side === null ? [] : [say(`record.side.${side}`)])];
  return parts.length === 0 ? [] : [`${parts.join(', ')}.`];
};

/** Size advice in a sentence: what to take, and what would settle it where that is not sure. */
export const fitLine = (show: Show, { next, fit, shelf }: Pick<GroupView, 'next' | 'fit' | 'shelf'>): string => {
  const { say } = show;
  if (next === undefined) return fit?.kind === 'none' ? say('record.fit.none', { mm: millimetres(fit.wantedMm, show.reader.locale) }) : say('record.fit.unknown');
  const size = stackText(show, next);
  if (next.sure) return `${say('record.fit.sure', { size })} ${shelfText(show, next, shelf)}`.trim();
  return say('record.fit.two', { size, take: fit && fit.kind !== 'sure' ? say(`record.take.${fit.take.kind}`) : '' }).trim();
};

const materialText = ({ say }: Show, fitting: Fitting | null): string => (fitting?.material === 'rubber' || fitting?.material === 'silicone' ? `, ${say(`record.material.${fitting.material}`)}` : '');

/** One group in full. */
export const groupMessage = (show: Show, view: GroupView, cafe: string, now: Instant, pictures: readonly Picture[]): Message => {
  const { say, reader } = show;
  const { group, machine, fitting, forecast, looks } = view;
  const date = (n: number): string => shortDate(dayIn(now, n), reader).replace(/^\S+ /, '');
  const first = say('record.group.size', { group: labelOf(view), size: sizeText(show, view), material: materialText(show, fitting) });
  const since = [sinceText(show, fitting), ...shapeText(show, fitting)].join(' ');
  const life = view.out ? say('record.out') : isUnseen(view) ? say('record.unseen') : say('record.life', { low: date(forecast.left.lowDays), high: date(forecast.left.highDays), looks, why: forecast.larger });
  const ids = [machine, String(group)] as const;
  return {
    ...message(
      [line(first, 'strong'), shortened(since, 64), life, fitLine(show, view)],
      [button(say('record.button.new'), press('record.new', ...ids), 'main'), button(say('record.button.correct'), press('record.correct', ...ids)), button(say('record.button.history'), press('record.history', ...ids, '0'))],
      [button(say('record.button.screen'), press('record.screen', ...ids)), button(say('record.button.closes'), press('record.closes', ...ids)), button(say('record.button.back'), press('record.all', cafe))],
    ),
    ...(pictures.length > 0 ? { pictures } : {}),
  };
};

/** Of what a seal is and which side is up, as one answer of a form. */
export const KINDS = ['rubber.up', 'rubber.down', 'rubber.unknown', 'silicone.up', 'silicone.down', 'silicone.unknown'] as const;

/** A seal written down: the one that went in now, or the present one corrected. */
export const sealForm = ({ say }: Show, ids: readonly string[], correct: boolean, now: { readonly fitting: Fitting | null; readonly sizeMm: number | null; readonly shimMm: number | null }): Form => {
  const { fitting } = now;
  const size = now.sizeMm === null ? {} : { now: String(now.sizeMm) };
  const shim = now.shimMm === null || now.shimMm === 0 ? {} : { now: String(now.shimMm) };
  const measures = fitting === null || fitting.outside_mm === null || fitting.inside_mm === null ? {} : { now: [`${fitting.outside_mm} x ${fitting.inside_mm}`, ...(fitting.profile === null ? [] : [fitting.profile])].join(', ') };
  const when = correct ? (fitting === null || fitting.fitted_at === null ? {} : { now: new Date(fitting.fitted_at).toISOString().slice(0, 10) }) : {};
  const chosen = fitting?.material == null ? undefined : `${fitting.material}.${fitting.side_up ?? 'unknown'}`;
  return {
    title: say(correct ? 'record.form.correct' : 'record.form.new', { group: ids[1] ?? '' }),
    submit: press(correct ? 'record.corrected' : 'record.fitted', ...ids),
    questions: [
      { key: 'size', label: say('record.form.size'), hint: '8', answer: { kind: 'words', most: 12, ...size } },
      { key: 'shim', label: say('record.form.shim'), hint: say('record.form.shim.hint'), optional: true, answer: { kind: 'words', most: 12, ...shim } },
      { key: 'when', label: say('record.form.when'), hint: say(correct ? 'record.form.when.hint' : 'record.form.when.today'), optional: true, answer: { kind: 'words', most: 30, ...when } },
      { key: 'measures', label: say('record.form.measures'), hint: say('record.form.measures.hint'), optional: true, answer: { kind: 'words', most: 40, ...measures } },
      { key: 'kind', label: say('record.form.kind'), optional: true, answer: { kind: 'pick', most: 1, from: KINDS.map((value) => ({ value, label: say(`record.kind.${value}`), ...(value === chosen ? { chosen: true as const } : {}) })) } },
    ],
  };
};

export const problemMessage = ({ say }: Show, ids: readonly string[], problem: string, correct: boolean): Message =>
  message([say(`record.problem.${problem}`)], [button(say('record.button.again'), press(correct ? 'record.correct' : 'record.new', ...ids), 'main'), button(say('record.button.back'), press('record.group', ...ids))]);

/** Noted, and how the old one was: it tells how long seals live here. */
export const oldOneMessage = (show: Show, group: number, stack: { readonly sealMm: number; readonly shimMm: number }, old: string | null, machine: string): Message => {
  const { say } = show;
  const noted = say(old === null ? 'record.corrected' : 'record.noted', { group, size: stackText(show, stack) });
  if (old === null) return message([noted], [button(say('record.button.back'), press('record.group', machine, String(group)))]);
  const how = (word: string): Button => button(say(`record.old.${word}`), press('record.old', old, word));
  return message([noted, say('record.old.ask')], [how('sound'), how('bad')], [how('not-looked')]);
};

/** What may have gone in: the size that was in, the one that was advised, the old seal itself where it may go in again. */
export type WentIn = { readonly same?: Stack; readonly advised?: Stack; readonly refitted: boolean };

export const changedMessage = (show: Show, ids: readonly string[], group: number, { same, advised, refitted }: WentIn): Message => {
  const { say } = show;
  const to = (what: 'same' | 'advised', size: Stack | undefined, main: boolean): readonly Button[] => (size ? [button(say(`record.button.${what}`, { size: shortStack(show.reader, size) }), press(`record.${what}`, ...ids), main ? 'main' : 'plain')] : []);
  const old = refitted ? [button(say('record.button.kept'), press('record.kept', ...ids))] : [];
  // Named by whoever says it, it may be the one that was in before.
  const other = advised && (advised.sealMm !== same?.sealMm || advised.shimMm !== same.shimMm) ? advised : undefined;
  return message([say('record.changed', { group })], [...to('advised', other, true), ...to('same', same, !other), ...old, button(say('record.button.other'), press('record.new', ...ids))]);
};

export const drawingsMessage = ({ say }: Show, cafe: string): Message => ({
  ...message([say('record.drawings')], [button(say('record.button.back'), press('record.all', cafe))]),
  pictures: [sealUp(say), screens(say)],
});

/** Read off the clock by a technician, not picked from the drawing. */
const isBetweenDrawn = ({ what, value }: Reading): boolean => what === 'handle' && Number.isFinite(Number(value)) && !(Object.values(HANDLE_VALUES) as readonly string[]).includes(value);

const answerText = ({ say }: Show, reading: Reading, all: readonly Reading[]): string => {
  const word = (row: Reading): string => (isBetweenDrawn(row) ? say('record.handle.at', { at: clockOf(Number(row.value)) }) : row.what === 'screen' ? say('record.screen.seen', { what: say(`record.screen.${row.value}`).toLowerCase() }) : row.what === 'leak' ? say('record.leak') : row.what === 'lead' ? say('record.lead', { mm: row.value }) : say(`look.${row.what}.${wordOf(row.what, row.value)}`)).toLowerCase();
  const was = all.filter((row) => row.superseded_by === reading.id);
  return was.length === 0 ? word(reading) : say('record.was', { now: word(reading), was: was.map(word).join(', ') });
};

type Entry = { readonly at: number; readonly id: string; readonly text: string };

/** Readings and changes of a group, newest first; what was corrected stands beside what it became. */
export const historyLines = (show: Show, group: number, all: { readonly fittings: readonly Fitting[]; readonly readings: readonly Reading[] }): readonly string[] => {
  const { say, reader } = show;
  const readings = all.readings.filter((row) => row.group_number === group);
  const live = readings.filter((row) => row.superseded_by === null);
  const keys = [...new Set(live.map((row) => row.look ?? row.id))];
  const looks = keys.map((key): Entry => {
    const rows = live.filter((row) => (row.look ?? row.id) === key);
    const at = Math.min(...rows.map((row) => row.at));
    return { at, id: rows[0]?.id ?? '', text: say('record.entry.look', { date: shortDate(instant(at), reader), name: shortened(rows[0]?.by_name ?? '', 16), what: rows.map((row) => answerText(show, row, readings)).join(', ') }) };
  });
  const fittings = all.fittings.filter((row) => row.group_number === group).map((row): Entry => {
    const what = row.part === 'screen' ? say('record.entry.screen') : stackText(show, { sealMm: row.size_mm ?? 0, shimMm: row.shim_mm ?? 0 });
    const key = row.superseded_by !== null ? 'corrected' : row.fitted_at !== null ? 'fitted' : row.out_at !== null ? 'came-out' : 'is-in';
    return { at: row.at, id: row.id, text: say(`record.entry.${key}`, { date: shortDate(instant(row.fitted_at ?? row.out_at ?? row.at), reader), name: shortened(row.by_name, 16), what, out: row.came_out ?? 'none' }) };
  });
  return [...looks, ...fittings].toSorted((a, b) => b.at - a.at || (a.id < b.id ? 1 : -1)).map(({ text }) => shortened(text, 64));
};

export const historyMessage = (show: Show, ids: readonly string[], lines: readonly string[], from: number): Message => {
  const { say } = show;
  const shown = [...new Set(lines.slice(from, from + MOST_LINES))];
  const older = lines.length > from + MOST_LINES ? [button(say('record.button.older'), press('record.history', ...ids, String(from + MOST_LINES)))] : [];
  return message(shown.length === 0 ? [say('record.no-history')] : shown, [...older, button(say('record.button.back'), press('record.group', ...ids))]);
};
