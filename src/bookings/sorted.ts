import type { BookingRecord } from './records.ts';

type Needed = Pick<BookingRecord, 'id' | 'level' | 'people' | 'visit_by' | 'starts_at' | 'created_at'>;

const key = ({ level, people, starts_at, visit_by, created_at }: Needed): readonly number[] => [level === 'danger' ? 0 : 1, 1 - people, starts_at ?? visit_by, created_at];

/** Danger first, people before machines, then by the agreed time or, without one, by when somebody should be there. */
export const byNeed = <T extends Needed>(rows: readonly T[]): readonly T[] =>
  rows.toSorted((a, b) => {
    const [left, right] = [key(a), key(b)];
    const first = left.findIndex((value, i) => value !== right[i]);
    return first < 0 ? (a.id < b.id ? -1 : 1) : (left[first] ?? 0) - (right[first] ?? 0);
  });
