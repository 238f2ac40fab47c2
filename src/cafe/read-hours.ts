import type { Say } from '../words/catalogue.ts';
import { shortened } from '../words/format.ts';
import { calendarOf, writeSpans, writeWeek } from './calendar.ts';
import { isOneOf } from './fold.ts';
import { NEVER } from './hours.ts';
import { parseHours } from './hours-text.ts';
import { commonClosing } from './hours-view.ts';
import { ENGLISH_DOOR, GERMAN_DOOR, ITALIAN_DOOR, SPANISH_DOOR, type DoorWords } from './hours-words.ts';
import { parseClock } from './parse-clock.ts';
import { known, unread, type Asked, type Reading } from './reading.ts';

const DOORS: Readonly<Record<string, DoorWords>> = { en: ENGLISH_DOOR, de: GERMAN_DOOR, it: ITALIAN_DOOR, es: SPANISH_DOOR };
/** The words of doors in the reader's language first, then in English. */
export const doorsOf = (locale: string): readonly DoorWords[] => [DOORS[locale.split('-')[0] ?? ''] ?? ENGLISH_DOOR, ENGLISH_DOOR];

export const readHours = (text: string, { pending, locale }: Asked, say: Say): Reading => {
  if (pending?.kind === 'hours' && isOneOf(text, say('cafe.words.yes'))) return known(writeWeek(pending.week));
  if (pending?.kind === 'hours' && isOneOf(text, say('cafe.words.no'))) return { kind: 'check', pending: null };
  const parsed = parseHours(text, doorsOf(locale));
  return parsed.ok ? { kind: 'check', pending: { kind: 'hours', week: parsed.week } } : unread(`hours.${parsed.problem}`, { at: shortened(parsed.at, 12) });
};

export const readWeek = (text: string, { locale }: Asked, say: Say): Reading => {
  if (isOneOf(text, say('cafe.words.none'))) return known(writeSpans(NEVER));
  const parsed = parseHours(text, doorsOf(locale));
  return parsed.ok ? known(writeSpans(parsed.week.days)) : unread(`hours.${parsed.problem}`, { at: shortened(parsed.at, 12) });
};

const LONGEST_CLEANING = 180;

export const readCleaning = (text: string, { house, pending }: Asked): Reading => {
  const span = /^\s*(\d{1,3})\s*(?:m|min|mins|minute|minutes)?(?:\s+before.*)?\s*$/i.exec(text);
  const week = pending?.kind === 'hours' ? pending.week : calendarOf(house.cafe)?.week;
  const closing = week && commonClosing(week);
  const clock = span ? undefined : parseClock(text);
  const asked = span ? Number(span[1]) : clock === undefined || closing === undefined ? undefined : (((closing - clock) % 1440) + 1440) % 1440;
  return asked !== undefined && asked <= LONGEST_CLEANING ? known(String(asked)) : unread('cleaning');
};
