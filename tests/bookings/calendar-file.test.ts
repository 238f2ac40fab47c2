import fc from 'fast-check';
import ICAL from 'ical.js';
import { DateTime } from 'luxon';
import { describe, expect, test } from 'vitest';
import { hours, instant, type Instant } from '../../src/time/instant.ts';
import { calendarFile, calendarUid, type CalendarVisit } from '../../src/bookings/calendar-file.ts';
import { span } from '../../src/bookings/span.ts';
import { violations } from './calendar-rules.ts';

const visit = (change: Partial<CalendarVisit> = {}): CalendarVisit => ({
  bookingId: '01k7x',
  appointment: { number: 1, sequence: 0, span: span(instant(Date.UTC(2026, 9, 14, 13, 30)), hours(1)) },
  method: 'request',
  stamp: instant(Date.UTC(2026, 9, 13, 9, 2)),
  summary: 'Drip, group 2: Lantern Street',
  description: 'Wed 15:30 in Valencia.\nSide door, ring twice; park in the yard.',
  location: 'Lantern Street 12, Valencia',
  place: { latitude: 39.47, longitude: -0.38 },
  cafe: 'Café Lantern Street',
  technician: 'Ana',
  alarmMinutesBefore: 60,
  ...change,
});

/** Read back by a parser that shares nothing with the writer. */
const parsed = (file: string) => {
  const calendar = new ICAL.Component(ICAL.parse(file) as unknown[]);
  const component = calendar.getFirstSubcomponent('vevent');
  if (component === null) throw new Error('no event');
  return { calendar, component, event: new ICAL.Event(component) };
};

const startOf = (file: string): number => parsed(file).event.startDate.toUnixTime() * 1000;

describe('the calendar file', () => {
  test('read by another parser it says what was meant', () => {
    const { calendar, component, event } = parsed(calendarFile(visit()));
    expect(calendar.getFirstPropertyValue('method')).toBe('REQUEST');
    expect(event.uid).toBe('01k7x-1@grouphand.invalid');
    expect(event.sequence).toBe(0);
    expect(event.summary).toBe('Drip, group 2: Lantern Street');
    expect(event.description).toBe('Wed 15:30 in Valencia.\nSide door, ring twice; park in the yard.');
    expect(event.location).toBe('Lantern Street 12, Valencia');
    expect(event.startDate.toString()).toBe('2026-10-14T13:30:00Z');
    expect(event.endDate.toString()).toBe('2026-10-14T14:30:00Z');
    expect(component.getFirstPropertyValue('dtstamp')?.toString()).toBe('2026-10-13T09:02:00Z');
    expect(event.attendees[0]?.getParameter('cn')).toBe('Ana');
    expect(component.getFirstProperty('organizer')?.getParameter('cn')).toBe('Café Lantern Street');
  });

  test('keeps the rules of both standards, asked for and called off', () => {
    expect(violations(calendarFile(visit()))).toEqual([]);
    expect(violations(calendarFile(visit({ method: 'cancel' })))).toEqual([]);
    expect(violations(calendarFile(visit({ location: null, place: null, alarmMinutesBefore: null })))).toEqual([]);
  });

  test('the rules themselves refuse broken files', () => {
    const good = calendarFile(visit());
    const broken: readonly (readonly [RegExp | string, string])[] = [
      [/UID:.*\r\n/, ''],
      [/DTSTAMP:(\d+T\d+)Z/, 'DTSTAMP:$1'],
      [/DTSTART:/, 'DTSTART;TZID=Europe/Madrid:'],
      [/SEQUENCE:0\r\n/, ''],
      [/METHOD:REQUEST/, 'METHOD:PUBLISH'],
      [/STATUS:CONFIRMED/, 'STATUS:CANCELLED'],
      [/ATTENDEE(.|\r\n )*?\r\n(?! )/, ''],
      ['SUMMARY:', `SUMMARY:${'x'.repeat(80)}`],
      ['SUMMARY:', 'SUMMARY:\u0007'],
      ['\r\nSUMMARY', '\nSUMMARY'],
      ['CN="', 'CN=""'],
      [/TRIGGER.*\r\n/, ''],
      [/END:VCALENDAR\r\n$/, 'END:VCALENDAR'],
    ];
    for (const [find, put] of broken) {
      const bad = good.replace(find, put);
      expect(bad, String(find)).not.toBe(good);
      expect(violations(bad), String(find)).not.toEqual([]);
    }
  });

  test('moved: same entry, higher sequence; another visit: another entry', () => {
    const moved = parsed(calendarFile(visit({ appointment: { number: 1, sequence: 1, span: span(instant(Date.UTC(2026, 9, 14, 16)), hours(1)) } })));
    expect([moved.event.uid, moved.event.sequence]).toEqual([calendarUid('01k7x', 1), 1]);
    expect(calendarUid('01k7x', 2)).not.toBe(calendarUid('01k7x', 1));
  });

  test('the same visit written twice is the same file', () => {
    expect(calendarFile(visit())).toBe(calendarFile(visit()));
  });

  test('called off: CANCEL, same entry, no alarm left to ring', () => {
    const { calendar, component, event } = parsed(calendarFile(visit({ method: 'cancel', appointment: { ...visit().appointment, sequence: 1 } })));
    expect(calendar.getFirstPropertyValue('method')).toBe('CANCEL');
    expect(component.getFirstPropertyValue('status')).toBe('CANCELLED');
    expect([event.uid, event.sequence]).toEqual([calendarUid('01k7x', 1), 1]);
    expect(component.getFirstSubcomponent('valarm')).toBeNull();
  });

  const anyText = fc.oneof(
    fc.string({ unit: 'grapheme', maxLength: 200 }),
    fc.string({ unit: 'binary', maxLength: 200 }),
    fc.array(fc.constantFrom('é', 'ß', 'Ω', '漢', '☕', '👩‍🔧', ',', ';', ':', '\\', '"', '\n', '\r\n', '^', ' ', 'a', '\ud800'), { maxLength: 200 }).map((parts) => parts.join('')),
  );

  test('any words in any script: lines of 75 octets, no character cut, nothing changed but what cannot be written', () => {
    fc.assert(
      fc.property(anyText, anyText, anyText, anyText, (summary, description, location, name) => {
        const file = calendarFile(visit({ summary, description, location: `${location}.`, cafe: name, technician: name }));
        expect(violations(file)).toEqual([]);
        const { event } = parsed(file);
        const writable = (raw: string) =>
          raw
            .replace(/\r\n?/g, '\n')
            .replace(/[^\n\u0020-\u007e\u00a0-\u{10ffff}]/gu, ' ')
            .replace(/[\ud800-\udfff]/gu, '\ufffd');
        expect(event.summary).toBe(writable(summary));
        expect(event.description ?? '').toBe(writable(description));
        expect(event.location).toBe(writable(`${location}.`));
      }),
      { seed: 20291, numRuns: 400 },
    );
  });

  test('the instant is right in every zone, in winter, in summer and in the hours around a clock change', () => {
    const local = (at: Instant, zone: string) => DateTime.fromMillis(at, { zone }).toFormat('yyyy-LL-dd HH:mm');
    const moments = [Date.UTC(2027, 0, 15, 9), Date.UTC(2027, 6, 15, 9), Date.UTC(2026, 9, 25, 0, 30), Date.UTC(2026, 9, 25, 1, 30)].map(instant);
    for (const zone of ['Europe/Madrid', 'America/New_York', 'Asia/Kathmandu', 'America/Mexico_City', 'Australia/Lord_Howe']) {
      for (const at of moments) {
        const file = calendarFile(visit({ appointment: { number: 1, sequence: 0, span: span(at, hours(1)) } }));
        expect(local(instant(startOf(file)), zone)).toBe(local(at, zone));
      }
    }
    // Both occurrences of 02:30 on the night the clocks go back are told apart.
    expect(local(moments[2] as Instant, 'Europe/Madrid')).toBe(local(moments[3] as Instant, 'Europe/Madrid'));
    const [first, second] = [moments[2], moments[3]].map((at) => startOf(calendarFile(visit({ appointment: { number: 1, sequence: 0, span: span(at as Instant, hours(1)) } }))));
    expect((second ?? 0) - (first ?? 0)).toBe(hours(1));
  });
});
