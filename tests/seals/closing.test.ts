import { describe, expect, test } from 'vitest';
import { asksClosing, inClosingSense, turned } from '../../src/seals/closing.ts';
import type { Machine } from '../../src/cafe/records.ts';
import { fitRingsOf } from '../../src/seals/record-evidence.ts';
import { historyOf, type MachineRecord } from '../../src/seals/records.ts';
import { assumed } from './assumed.ts';

const DAY = 86_400_000;
const NOW = 400 * DAY;
const at = (degrees: number) => ({ kind: 'angle', degrees }) as const;

const reading = (what: string, value: string, daysAgo: number, superseded: string | null = null): MachineRecord['readings'][number] => ({
  id: `${what}${daysAgo}`, cafe: 'c', machine: 'm', group_number: 1, look: `look${daysAgo}`, what, value, machine_state: 'cold', by_person: null, by_name: 'Mia', at: NOW - daysAgo * DAY, superseded_by: superseded,
});
const machine = { id: 'm', facts: '{"seal":8}', created_at: NOW - 100 * DAY } as Machine;

describe('groups whose handle is pushed to the left', () => {
  test('is asked only where a handle could not stand so: old and far left, new and far out on either side', () => {
    const asked = (degrees: number, age: number | undefined): boolean => asksClosing(undefined, at(degrees), age, assumed);
    expect([-30, -15, 0, 15, 30].map((degrees) => asked(degrees, undefined))).toEqual([true, false, false, false, false]);
    expect([-30, -15, 0, 15, 30].map((degrees) => asked(degrees, 5))).toEqual([true, false, false, false, true]);
    expect(asksClosing(undefined, { kind: 'stop' }, 5, assumed)).toBe(false);
  });

  test('is never asked again once it was said', () => {
    for (const closes of ['left', 'right'] as const) for (const degrees of [-30, 30]) expect(asksClosing(closes, at(degrees), 5, assumed)).toBe(false);
  });

  test('turning twice is no turn, straight stays straight, and the stop has no side', () => {
    for (const degrees of [-45, -7.5, 0, 30]) expect(turned(turned(degrees, 'left'), 'left')).toBe(degrees);
    expect(inClosingSense('0', 'left')).toBe('0');
    expect(inClosingSense('stop', 'left')).toBe('stop');
    expect(inClosingSense('15', undefined)).toBe('15');
  });

  test('what was stored before it was known is read the other way round too, and a correction counts alone', () => {
    const before = [reading('handle', '-15', 9), reading('handle', '-30', 2)];
    const handles = (readings: MachineRecord['readings']): readonly unknown[] => fitRingsOf(historyOf(machine, { fittings: [], readings }, 1), NOW).flatMap((ring) => ring.readings.map((each) => each.at));
    expect(handles(before)).toEqual([at(-15), at(-30)]);
    expect(handles([...before, reading('closes', 'left', 1)])).toEqual([at(15), at(30)]);
    expect(handles([...before, reading('closes', 'none', 1)])).toEqual([at(-15), at(-30)]);
    expect(handles([...before, reading('closes', 'left', 1), reading('closes', 'right', 0)])).toEqual([at(-15), at(-30)]);
  });
});
