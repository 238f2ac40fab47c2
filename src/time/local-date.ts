/** A day on the calendar, 'YYYY-MM-DD', years 0001 to 9999, in no zone. Sorts as text. */
export type LocalDate = string & { readonly __localDate: true };

/** A day as a count: 0 is 1970-01-01, negative before. All date arithmetic is done on it. */
export type DayNumber = number;

/** ISO 8601: 1 is Monday, 7 is Sunday. */
export type Weekday = 1 | 2 | 3 | 4 | 5 | 6 | 7;

export type Civil = { readonly year: number; readonly month: number; readonly day: number };

/** 9999-12-31, the last day that 'YYYY-MM-DD' can write. */
export const LAST_DAY: DayNumber = 2_932_896;

export const isLeapYear = (year: number): boolean =>
  year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);

export const yearLength = (year: number): number => (isLeapYear(year) ? 366 : 365);

const MONTH_LENGTHS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31] as const;

/** `month` from 1 to 12. */
export const monthLength = (year: number, month: number): number =>
  month === 2 && isLeapYear(year) ? 29 : (MONTH_LENGTHS[month - 1] ?? 0);

// Years are counted from 1 March, so that the leap day is the last of its year and the months
// before it follow one linear formula.
const DAYS_PER_ERA = 146_097;
const EPOCH_FROM_MARCH_OF_YEAR_0 = 719_468;

/** The proleptic Gregorian calendar. `day` may run past its month and is then carried over. */
export const dayNumberOf = (year: number, month: number, day: number): DayNumber => {
  const y = month <= 2 ? year - 1 : year;
  const era = Math.floor(y / 400);
  const yearOfEra = y - era * 400;
  const dayOfYear = Math.floor((153 * (month > 2 ? month - 3 : month + 9) + 2) / 5) + day - 1;
  const dayOfEra =
    yearOfEra * 365 + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfYear;
  return era * DAYS_PER_ERA + dayOfEra - EPOCH_FROM_MARCH_OF_YEAR_0;
};

export const civilOf = (dayNumber: DayNumber): Civil => {
  const z = dayNumber + EPOCH_FROM_MARCH_OF_YEAR_0;
  const era = Math.floor(z / DAYS_PER_ERA);
  const doe = z - era * DAYS_PER_ERA;
  const yoe = Math.floor(
    (doe - Math.floor(doe / 1460) + Math.floor(doe / 36_524) - Math.floor(doe / 146_096)) / 365,
  );
  const doy = doe - (365 * yoe + Math.floor(yoe / 4) - Math.floor(yoe / 100));
  const mp = Math.floor((5 * doy + 2) / 153);
  const month = mp < 10 ? mp + 3 : mp - 9;
  const year = yoe + era * 400 + (month <= 2 ? 1 : 0);
  return { year, month, day: doy - Math.floor((153 * mp + 2) / 5) + 1 };
};

/** 1970-01-01 was a Thursday. */
export const weekdayOf = (dayNumber: DayNumber): Weekday =>
  ((((dayNumber + 3) % 7) + 7) % 7 + 1) as Weekday;

const digits = (text: string, from: number, to: number): number => {
  let n = 0;
  for (let i = from; i < to; i += 1) {
    const digit = text.charCodeAt(i) - 48;
    if (!(digit >= 0 && digit <= 9)) return Number.NaN;
    n = n * 10 + digit;
  }
  return n;
};

/** The day number of 'YYYY-MM-DD', or null if that is no day of the calendar. */
export const parseDay = (text: string): DayNumber | null => {
  if (text.length !== 10 || text[4] !== '-' || text[7] !== '-') return null;
  const year = digits(text, 0, 4);
  const month = digits(text, 5, 7);
  const day = digits(text, 8, 10);
  const fits = year >= 1 && month >= 1 && month <= 12 && day >= 1 && day <= monthLength(year, month);
  return fits ? dayNumberOf(year, month, day) : null;
};

/** For text from outside: null if it is no day of the calendar. */
export const parseLocalDate = (text: string): LocalDate | null =>
  parseDay(text) === null ? null : (text as LocalDate);

/** For text known to be a date. @throws RangeError if it is no day of the calendar. */
export const localDate = (text: string): LocalDate => {
  if (parseDay(text) === null) throw new RangeError(`not a date: ${text}`);
  return text as LocalDate;
};

/** @throws RangeError if the text is no day of the calendar. */
export const toDay = (date: LocalDate): DayNumber => {
  const day = parseDay(date);
  if (day === null) throw new RangeError(`not a date: ${date}`);
  return day;
};

const two = (n: number): string => (n < 10 ? `0${n}` : `${n}`);

/** @throws RangeError outside the years 0001 to 9999. */
export const fromDay = (dayNumber: DayNumber): LocalDate => {
  const { year, month, day } = civilOf(dayNumber);
  if (!(year >= 1 && year <= 9999)) throw new RangeError(`no such day: ${dayNumber}`);
  return `${String(year).padStart(4, '0')}-${two(month)}-${two(day)}` as LocalDate;
};

export const plusDays = (date: LocalDate, days: number): LocalDate => fromDay(toDay(date) + days);

/** Days from `a` to `b`, negative if `b` is earlier. */
export const daysBetween = (a: LocalDate, b: LocalDate): number => toDay(b) - toDay(a);

export const weekdayOfDate = (date: LocalDate): Weekday => weekdayOf(toDay(date));
