import { instant, minutes, type Instant } from '../time/instant.ts';
import type { Place } from './distance.ts';
import { covers, intersect, overlap, span, subtract, tidy, type Span } from './span.ts';

export type OfferRequest = {
  readonly now: Instant;
  readonly lengthMs: number;
  /** When somebody can let the technician in: opening hours, and before them if the café says so. */
  readonly access: readonly Span[];
  readonly quiet: readonly Span[];
  readonly technician: {
    /** Working hours, or on-call hours where the trouble is worth them. */
    readonly works: readonly Span[];
    readonly daysOff: readonly Span[];
    readonly visits: readonly { readonly span: Span; readonly place: Place }[];
    readonly setsOutFrom: Place;
  };
  readonly cafe: Place;
  readonly travelMs: (from: Place, to: Place) => number;
  /** When the visit should have begun at the latest. */
  readonly visitBy: Instant;
  /** Times to offer at most. */
  readonly most: number;
};

export type Offer = { readonly span: Span; readonly quiet: boolean; readonly inTime: boolean };

/** Starts fall on quarter hours, in every zone in use: all of them are whole quarters from Greenwich. */
export const quarter = minutes(15);

/**
 * Times that café and technician can both keep, in their order in the calendar. Chosen first: the earliest start in
 * each quiet stretch; but if none of those is in time, the earliest start of all comes before them. What is
 * missing to `most` is filled with the earliest start in each further stretch of access.
 */
export const offerTimes = (request: OfferRequest): readonly Offer[] => {
  const both = workable(request);
  const quiet = earliestInEach(request, both, tidy(request.quiet)).map((one) => offer(request, one));
  const open = earliestInEach(request, both, tidy(request.access)).map((one) => offer(request, one));
  const urgent = quiet.some((one) => one.inTime) ? [] : open.slice(0, 1);
  const chosen = [...urgent, ...quiet, ...open].filter(
    (one, i, all) => all.findIndex((other) => overlap(other.span, one.span)) === i,
  );
  return chosen.slice(0, request.most).toSorted((a, b) => a.span.start - b.span.start);
};

/** Both sides are there and the technician is not off; other visits are looked at start by start. */
const workable = ({ access, technician }: OfferRequest): readonly Span[] =>
  intersect(access, subtract(technician.works, technician.daysOff));

const offer = (request: OfferRequest, one: Span): Offer => ({
  span: one,
  quiet: request.quiet.some((quiet) => fitsQuiet(quiet, one)),
  inTime: one.start <= request.visitBy,
});

/** A visit longer than the quiet stretch need only begin in it. */
const fitsQuiet = (quiet: Span, one: Span): boolean =>
  covers(quiet, one) || (one.end - one.start > quiet.end - quiet.start && quiet.start <= one.start && one.start < quiet.end);

const earliestInEach = (request: OfferRequest, both: readonly Span[], stretches: readonly Span[]): readonly Span[] =>
  stretches.flatMap((stretch) => {
    const found = startsIn(stretch).find((one) => isFeasible(request, both, stretch, one, request.lengthMs));
    return found === undefined ? [] : [span(found, request.lengthMs)];
  });

const startsIn = (stretch: Span): readonly Instant[] => {
  const first = Math.ceil(stretch.start / quarter);
  const count = Math.max(0, Math.ceil(stretch.end / quarter) - first);
  return Array.from({ length: count }, (_, i) => instant((first + i) * quarter));
};

const isFeasible = (request: OfferRequest, both: readonly Span[], stretch: Span, start: Instant, lengthMs: number): boolean => {
  const one = span(start, lengthMs);
  return fitsQuiet(stretch, one) && both.some((time) => covers(time, one)) && canBeThere(request, one);
};

/** Can get there from where they set out and from the visit before, and on to the visit after. */
const canBeThere = ({ now, cafe, technician, travelMs }: OfferRequest, one: Span): boolean =>
  one.start >= now + travelMs(technician.setsOutFrom, cafe) &&
  technician.visits.every(
    (visit) =>
      visit.span.end + travelMs(visit.place, cafe) <= one.start || one.end + travelMs(cafe, visit.place) <= visit.span.start,
  );
