import { instant, type Instant } from '../time/instant.ts';

/** From `start` up to, not including, `end`. */
export type Span = { readonly start: Instant; readonly end: Instant };

export const span = (start: Instant, ms: number): Span => ({ start, end: instant(Math.round(start + ms)) });

export const sameSpan = (a: Span, b: Span): boolean => a.start === b.start && a.end === b.end;

export const overlap = (a: Span, b: Span): boolean => a.start < b.end && b.start < a.end;

export const covers = (outer: Span, inner: Span): boolean => outer.start <= inner.start && inner.end <= outer.end;

/** Sorted, without empty ones, those that touch or overlap joined into one. */
export const tidy = (spans: readonly Span[]): readonly Span[] =>
  spans
    .filter((one) => one.start < one.end)
    .toSorted((a, b) => a.start - b.start)
    .reduce<Span[]>((joined, next) => {
      const last = joined.at(-1);
      if (last === undefined || last.end < next.start) return [...joined, next];
      const end = next.end > last.end ? next.end : last.end;
      return [...joined.slice(0, -1), { start: last.start, end }];
    }, []);

export const intersect = (left: readonly Span[], right: readonly Span[]): readonly Span[] =>
  tidy(
    left.flatMap((a) =>
      right.map((b) => ({ start: a.start > b.start ? a.start : b.start, end: a.end < b.end ? a.end : b.end })),
    ),
  );

export const subtract = (from: readonly Span[], away: readonly Span[]): readonly Span[] =>
  tidy(away).reduce<readonly Span[]>((left, hole) => left.flatMap((one) => without(one, hole)), tidy(from));

const without = (one: Span, hole: Span): readonly Span[] =>
  !overlap(one, hole)
    ? [one]
    : [
        { start: one.start, end: hole.start },
        { start: hole.end, end: one.end },
      ].filter((left) => left.start < left.end);

/**
 * The instant by which `ms` of time inside the spans has passed since `from`.
 * Past the last span every hour counts, so that nothing waits for hours that nobody entered.
 */
export const afterTimeWithin = (spans: readonly Span[], from: Instant, ms: number): Instant => {
  let left = ms;
  let at: number = from;
  for (const one of tidy(spans)) {
    if (one.end <= at) continue;
    at = Math.max(at, one.start);
    if (at + left <= one.end) return instant(Math.round(at + left));
    left -= one.end - at;
    at = one.end;
  }
  return instant(Math.round(at + left));
};
