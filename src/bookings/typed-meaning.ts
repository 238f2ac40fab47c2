import type { Say } from '../words/catalogue.ts';
import type { Booking } from './booking-state.ts';
import { partIn, type PartNames } from './part-words.ts';

/**
 * A button of a visit that typed words stand for: its kind, what it carries beside visit and round, and what is written in
 * its form. `booking.part-is` asks first whether the words are a part at all; `booking.part` and `booking.time` ask for more.
 */
export type Meant = {
  readonly kind: 'booking.way' | 'booking.here' | 'booking.finish' | 'booking.late' | 'booking.late-by' | 'booking.cannot' | 'booking.off' | 'booking.part-said' | 'booking.part-is' | 'booking.part' | 'booking.time';
  readonly ids: readonly string[];
  readonly text: string;
};

/** Words of a message as they are compared: small letters, plain apostrophes, nothing but words between. */
export const plainly = (text: string): string => text.toLowerCase().replaceAll('’', "'").replace(/[^\p{L}\p{N}' ]+/gu, ' ').replace(/\s+/g, ' ').trim();

/** Delays that are believed, in minutes. */
const LONGEST = 600;
/** Longer words about a part are a sentence about something else. */
const MOST_PART_WORDS = 4;
/** A part in words fits a button with its visit. */
const MOST_PART = 36;

const minutesIn = (text: string): number | undefined => {
  const found = /(\d{1,3})\s*(h|hours?|or[ae])?\b/.exec(text);
  const minutes = found ? Number(found[1]) * (found[2] === undefined ? 1 : 60) : 0;
  return minutes >= 1 && minutes <= LONGEST ? minutes : undefined;
};

const listed = (say: Say, key: string): readonly string[] => say(key).split('|');

const meant = (kind: Meant['kind'], text = '', ...ids: readonly string[]): Meant => ({ kind, ids, text });

const delay = (say: Say, text: string, { kind }: Booking['state']): Meant | undefined => {
  const words = listed(say, 'booking.words.late');
  if (!words.some((word) => ` ${text} `.includes(` ${word} `))) return undefined;
  const minutes = minutesIn(text);
  if (kind === 'time agreed' || kind === 'on the way') return minutes === undefined ? meant('booking.late') : meant('booking.late-by', '', String(minutes));
  return words.includes(text) && kind !== 'here' ? meant('booking.time') : undefined;
};

/** A part of the book, or words that stand in the name of one: "coil" of "valve coil". */
const isPart = (text: string, names: PartNames): boolean => {
  const words = text.split(' ').filter((word) => !/^\d/.test(word));
  return partIn(text, names) !== undefined || (words.length > 0 && [...names.byName.keys()].some((name) => words.every((word) => name.split(' ').includes(word))));
};

const missing = (say: Say, text: string, names: PartNames): Meant | undefined => {
  const start = listed(say, 'booking.words.part').find((words) => text.startsWith(`${words} `));
  if (start === undefined) return undefined;
  const part = text.slice(start.length + 1).replace(new RegExp(`^(?:${say('booking.words.article')}) `, 'u'), '');
  if (listed(say, 'booking.words.spare').includes(part)) return meant('booking.part');
  if (part === '' || part.length > MOST_PART || part.split(' ').length > MOST_PART_WORDS || listed(say, 'booking.words.part.any').includes(part.replace(/^\d+ /, ''))) return undefined;
  return meant(isPart(part, names) ? 'booking.part-said' : 'booking.part-is', part);
};

/** What a technician means who types instead of pressing; undefined: nothing of this visit. */
export const meantBy = (say: Say, typed: string, state: Booking['state'], names: PartNames): Meant | undefined => {
  const text = plainly(typed);
  const isOne = (key: string): boolean => listed(say, key).includes(text);
  const asked = state.kind === 'asked';
  if (isOne('booking.words.way')) return meant('booking.way');
  // Whoever is only asked yet and says "finished" is told to take it first, as for "here".
  if (isOne('booking.words.here') || (asked && isOne('booking.words.finished'))) return meant('booking.here');
  if (isOne('booking.words.finished')) return meant('booking.finish');
  if (isOne('booking.words.cannot')) return asked ? meant('booking.cannot') : meant('booking.off', '', 't');
  const there = state.kind === 'here' || state.kind === 'on the way' || state.kind === 'waiting for a part';
  return delay(say, text, state) ?? (there ? missing(say, text, names) : undefined);
};

/** Words that are about a visit whatever its state, so that somebody without one is told so. */
export const isOfVisit = (say: Say, typed: string): boolean =>
  ['way', 'here', 'finished', 'cannot', 'late'].some((key) => listed(say, `booking.words.${key}`).includes(plainly(typed)));
