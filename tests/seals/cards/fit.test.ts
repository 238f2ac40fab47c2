import { describe, expect, test } from 'vitest';
import { NEVER, type CafeHours, type WeekSpans } from '../../../src/cafe/hours.ts';
import { fits, loudAt, NO_FIGURES, smaller, type Figures } from '../../../src/seals/card-fit.ts';
import type { Card } from '../../../src/seals/cards-config.ts';
import { instant, type Instant } from '../../../src/time/instant.ts';
import { book } from './config.ts';

const OPEN = [{ from: 8 * 60, to: 22 * 60 + 30 }];
const days: WeekSpans = [[], OPEN, OPEN, OPEN, OPEN, OPEN, OPEN];
/** Open 08:00 to 22:30 but on Mondays, in Valencia; 11 March 2027 is a Thursday, one hour ahead of the world's clock. */
const hours: CafeHours = { zone: 'Europe/Madrid', week: { days, holidays: OPEN }, exceptions: [], holidays: new Set(), cleaningMinutes: 30, quiet: null, rush: NEVER };

const at = (wall: string, date = '2027-03-11'): Instant => instant(Date.parse(`${date}T${wall}:00+01:00`));
const card = (job: string): Card => book.cards.get(job) as Card;
const off: Figures = { cool: null, heat: null, offAtNight: 'yes' };

describe('a seal card (20 minutes of work, 40 to heat)', () => {
  test('fits until one hour before opening, and not a minute later', () => {
    expect(fits(card('seal-screw'), hours, at('07:00'), off)).toEqual({ kind: 'fits', opens: at('08:00') });
    expect(fits(card('seal-screw'), hours, at('07:01'), off)).toEqual({ kind: 'late', opens: at('08:00'), needs: 60, cooling: false });
  });

  test('begun thirty minutes before opening, with the machine in pieces at the rush: never', () => {
    expect(fits(card('seal-screw'), hours, at('07:30'), off).kind).toBe('late');
  });

  test('at closing the machine is at its hottest: it has six hours to cool first', () => {
    expect(fits(card('seal-screw'), hours, at('22:30'), off)).toEqual({ kind: 'fits', opens: at('08:00', '2027-03-12') });
    const short: CafeHours = { ...hours, week: { days: [[], [{ from: 8 * 60, to: 25 * 60 + 30 }], [{ from: 8 * 60, to: 25 * 60 + 30 }], [{ from: 8 * 60, to: 25 * 60 + 30 }], [{ from: 8 * 60, to: 25 * 60 + 30 }], OPEN, OPEN], holidays: OPEN } };
    expect(fits(card('seal-screw'), short, at('01:30'), off)).toEqual({ kind: 'late', opens: at('08:00'), needs: 420, cooling: true });
  });

  test('is not for a café that serves', () => {
    expect(fits(card('seal-screw'), hours, at('10:00'), off)).toEqual({ kind: 'serving' });
  });

  test('where the machine stays on over night nothing has cooled by the morning', () => {
    expect(fits(card('seal-screw'), hours, at('06:00'), { ...off, offAtNight: 'no' })).toMatchObject({ kind: 'late', needs: 420, cooling: true });
    expect(fits(card('seal-screw'), hours, at('10:00', '2027-03-15'), { ...off, offAtNight: 'no' }).kind).toBe('fits');
  });

  test("goes by the machine's own times where they are known", () => {
    expect(fits(card('seal-screw'), hours, at('06:59'), { ...off, heat: 42 })).toMatchObject({ kind: 'late', needs: 62 });
    expect(fits(card('seal-screw'), hours, at('02:00'), { cool: 240, heat: 30, offAtNight: 'no' }).kind).toBe('fits');
  });

  test('a closed day has all the time there is', () => {
    expect(fits(card('seal-screw'), hours, at('10:00', '2027-03-15'), off)).toEqual({ kind: 'fits', opens: at('08:00', '2027-03-16') });
  });

  test('with a screen to soak as well it needs its soaking too', () => {
    expect(fits(card('screen-press-clean'), hours, at('06:30'), off).kind).toBe('fits');
    expect(fits(card('screen-press-clean'), hours, at('06:31'), off)).toMatchObject({ kind: 'late', needs: 90 });
  });
});

test('ten minutes of hot work five minutes before opening waits; while open it is a matter of the quiet hour', () => {
  expect(fits(card('dial-in'), hours, at('07:55'))).toMatchObject({ kind: 'late', needs: 10, cooling: false });
  expect(fits(card('dial-in'), hours, at('15:00')).kind).toBe('fits');
});

test('what makes safe is never too late, and hours that are not known stop nothing', () => {
  expect(fits(card('make-safe'), hours, at('07:59')).kind).toBe('fits');
  expect(fits(card('rinse-detergent'), hours, at('07:59')).kind).toBe('fits');
  expect(fits(card('seal-screw'), null, at('07:59'))).toEqual({ kind: 'fits', opens: null });
});

test('the smaller thing is one there is time for, or none', () => {
  expect(smaller(book, card('seal-screw'), hours, at('07:30'), off)?.job).toBe('wipe-rim');
  expect(smaller(book, card('seal-screw'), hours, at('07:59'), off)).toBeUndefined();
});

test('still open is told while there is just time to heat, at the latest at the door', () => {
  expect(loudAt(card('seal-screw'), at('08:00'), at('06:30'), off)).toBe(at('07:05'));
  expect(loudAt(card('seal-screw'), at('08:00'), at('07:50'), off)).toBe(at('07:55'));
  expect(loudAt(card('seal-screw'), at('08:00'), at('07:58'), off)).toBe(at('08:00'));
  expect(loudAt(card('clean-grinder'), at('08:00'), at('06:30'), NO_FIGURES)).toBe(at('07:45'));
  expect(loudAt(card('seal-screw'), null, at('06:30'), off)).toBeNull();
});
