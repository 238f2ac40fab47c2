import { closesOnDay, isOpenAt, nextOpening, type CafeHours } from '../cafe/hours.ts';
import { later, minutes, type Instant } from '../time/instant.ts';
import { dayAt } from '../time/wall-time.ts';
import type { CardBook } from './cards-read.ts';
import type { Card } from './cards-config.ts';
import { cools, heatsAgain } from './job-card.ts';

/** The machine's own times in minutes, from a technician or its maker; null: not known. */
export type Figures = { readonly cool: number | null; readonly heat: number | null; readonly offAtNight: 'yes' | 'no' | null };

export const NO_FIGURES: Figures = { cool: null, heat: null, offAtNight: null };

/** Reckoned with while a machine's own figure is not known, and never shown: a two-group machine as one lump, to 45 °C. Assumed. */
const COOL_MINUTES = 360;
/** Upper end of what two-group machines take to get hot. Assumed, common practice, no source. */
const HEAT_MINUTES = 40;
const LOOK_BACK_DAYS = 8;

export type Fit =
  | { readonly kind: 'fits'; /** When the door opens next; null while the hours are not known. */ readonly opens: Instant | null }
  | { readonly kind: 'serving' }
  | { readonly kind: 'late'; readonly opens: Instant; /** Minutes of work, soaking, cooling and heating together. */ readonly needs: number; readonly cooling: boolean };

/** When the door last closed, null if it has not in the last eight days. */
const lastClosing = (hours: CafeHours, now: Instant): Instant | null => {
  const { day } = dayAt(now, hours.zone);
  for (let one = day; one >= day - LOOK_BACK_DAYS; one -= 1) {
    const closes = closesOnDay(hours, one);
    if (closes !== null && closes <= now) return closes;
  }
  return null;
};

/** Minutes of cooling still to come: none of what has passed counts where the machine is left on over night. */
export const coolingLeft = (hours: CafeHours, now: Instant, { cool, offAtNight }: Figures): number => {
  const whole = cool ?? COOL_MINUTES;
  if (offAtNight === 'no') return whole;
  const closed = lastClosing(hours, now);
  return Math.max(0, whole - (closed === null ? whole : Math.floor((now - closed) / minutes(1))));
};

export const heatMinutes = (figures: Figures): number => figures.heat ?? HEAT_MINUTES;

/**
 * Is there time for the whole of a card before the door opens: work, soaking, cooling and heating up again?
 * In service a machine is neither cooled nor left cold; everything else is then a matter of the quiet hour.
 */
export const fits = (card: Card, hours: CafeHours | null, now: Instant, figures: Figures = NO_FIGURES): Fit => {
  if (hours === null || card.urgent) return { kind: 'fits', opens: hours && nextOpening(hours, now) };
  const opens = nextOpening(hours, now);
  if (isOpenAt(hours, now)) return cools(card) ? { kind: 'serving' } : { kind: 'fits', opens };
  const cooling = cools(card) ? coolingLeft(hours, now, figures) : 0;
  const needs = card.minutes + card.soak + cooling + (heatsAgain(card) ? heatMinutes(figures) : 0);
  if (opens === null || later(now, minutes(needs)) <= opens) return { kind: 'fits', opens };
  return { kind: 'late', opens, needs, cooling: cooling > 0 };
};

/** The first smaller thing, going from card to card, that there is time for. */
export const smaller = (book: CardBook, card: Card, hours: CafeHours | null, now: Instant, figures: Figures): Card | undefined => {
  const seen = new Set([card.job]);
  for (let next = book.cards.get(card.instead ?? ''); next && !seen.has(next.job); next = book.cards.get(next.instead ?? '')) {
    if (fits(next, hours, now, figures).kind === 'fits') return next;
    seen.add(next.job);
  }
  return undefined;
};

/** How long detergent may stand in a group while guests are served, before everyone is told. Judgement, no source. */
export const DETERGENT_STANDS = minutes(20);

/** When a card that is still open has to be told of loudly: while there is just time to close it up and heat. Null: never. */
export const loudAt = (card: Card, opens: Instant | null, now: Instant, figures: Figures): Instant | null => {
  if (opens === null) return null;
  const heating = heatsAgain(card) ? heatMinutes(figures) : 0;
  const wanted = later(opens, -minutes(heating + 15));
  const soonest = later(now, minutes(5));
  return wanted > soonest ? wanted : soonest < opens ? soonest : opens;
};
