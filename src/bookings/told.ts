import type { Cafe, Member } from '../cafe/records.ts';
import { ownersOf } from '../cafe/records.ts';
import { direct, personId, placeId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import { post, redraw, type Priority } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import type { Instant } from '../time/instant.ts';
import type { Effect, Notice } from './booking-event.ts';
import { roundOf, type Appointment, type TechnicianId } from './booking-state.ts';
import { placeFor } from './roads.ts';
import { bookingOf, countTold, technicianById, type BookingRecord } from './records.ts';

/** What the café is told beside what the booking itself tells. */
export type CafeNotice = Notice | { readonly kind: 'late'; readonly technician: TechnicianId; readonly minutes: number; readonly at: Instant | null } | { readonly kind: 'unreachable'; readonly technician: TechnicianId } | { readonly kind: 'freed'; readonly technician: TechnicianId; readonly at: Instant; readonly group?: number };

export type Calendar = { readonly method: 'request' | 'cancel'; readonly technician: TechnicianId; readonly appointment: Appointment; readonly stamp: Instant };

/** Data of the notice kinds of this subject. */
export type CafeTold = { readonly booking: string; readonly number: number; readonly notice: CafeNotice; readonly owner: string | null; readonly calendar: Calendar | null; /** Who at the bar pressed it; left out for everybody else. */ readonly by?: string };
export type TechnicianTold = { readonly booking: string; readonly technician: TechnicianId; readonly round: number };
export type TechnicianNote = TechnicianTold & { readonly notice: Notice | null; readonly rev: number; readonly calendar: Calendar | null };

export const CAFE = 'booking.cafe';
export const TECHNICIAN = 'booking';
export const NOTE = 'booking.note';

export const technicianKey = (booking: string, round: number, technician: TechnicianId): string => `booking.${booking}.${round}.t.${technician}`;
const cafeKey = (booking: string, number: number, to: string): string => `booking.${booking}.c.${number}.${to}`;

/** Owners who have said that they may be written to. */
export const reachableOwners = async (tx: Tx, cafe: string): Promise<readonly (Member & { readonly person: string })[]> =>
  (await ownersOf(tx, cafe)).flatMap((owner) => (owner.person !== null && owner.direct_ok === 1 ? [{ ...owner, person: owner.person }] : []));

export type Telling = {
  readonly tx: Tx;
  readonly ids: Ids;
  readonly now: Instant;
  readonly cafe: Cafe;
  /** As it is after the change. */
  readonly row: BookingRecord;
  /** Key of the message somebody pressed on, who is being answered with it. */
  readonly pressedOn?: string | undefined;
  /** An owner who has just been answered and needs no message of their own. */
  readonly answered?: string | undefined;
  /** Who at the bar brought it about. */
  readonly by?: string | undefined;
};

/** Questions about a visit that stand beside what is told of it. */
const ASKED_BESIDE: readonly string[] = ['booking.still', 'booking.ask-off'];

/** Of the café's messages the newest has buttons; one before it may be the end that is being corrected. */
const isLive = (key: string, row: BookingRecord): boolean => ASKED_BESIDE.some((kind) => key.startsWith(`${kind}.`)) || isLiveOwn(key, row);
const isLiveOwn = (key: string, row: BookingRecord): boolean => !key.includes('.file.') && ((row.state === 'finished' ? [0, 1, 2] : [0]).some((before) => key.includes(`.c.${row.told - before}.`)) || /\.t\.[^.]+$/.test(key) || key.includes(`.${row.rev - 1}.`));

/** Brings up to date what of this booking still carries buttons; what was only said stays as it was said. */
export const refresh = async ({ tx, now, row, pressedOn }: Pick<Telling, 'tx' | 'now' | 'row' | 'pressedOn'>): Promise<void> => {
  const keys = await tx.selectFrom('outbox').select('key').where('cafe', '=', row.cafe)
    .where((eb) => eb.or([eb('key', 'like', `booking.${row.id}.%`), ...ASKED_BESIDE.map((kind) => eb('key', 'like', `${kind}.${row.id}.%`))])).where('state', 'in', ['ready', 'claimed', 'sent']).execute();
  for (const { key } of keys) if (key === pressedOn || isLive(key, row)) await redraw(tx, key, now, key === pressedOn);
};

const LOUD: readonly CafeNotice['kind'][] = ['nobody took it', 'please telephone', 'unreachable', 'called off'];

/** Tells the café's channel and its owners of one change; only the newest message carries buttons. */
export const tellCafe = async (telling: Telling, notice: CafeNotice, calendar: Calendar | null): Promise<void> => {
  const { tx, ids, now, cafe, row, answered, by } = telling;
  const number = row.told + 1;
  await countTold(tx, row.id, number);
  const priority: Priority = row.level === 'danger' ? 'danger' : 'visit';
  const data = (owner: string | null): CafeTold => ({ booking: row.id, number, notice, owner, calendar: owner === null ? null : calendar, ...(by === undefined ? {} : { by }) });
  if (cafe.place !== null) await post(tx, ids, now, { key: cafeKey(row.id, number, 'bar'), cafe: cafe.id, place: placeId(cafe.place), kind: CAFE, data: data(null), priority, silent: !LOUD.includes(notice.kind) });
  for (const owner of await reachableOwners(tx, cafe.id))
    if (owner.person !== answered) await post(tx, ids, now, { key: cafeKey(row.id, number, owner.id), cafe: cafe.id, place: direct(personId(owner.person)), kind: CAFE, data: data(owner.id), priority });
};

/** What only changes the message a technician has already. Who gave nothing up, or answered nothing, needs no second one. */
const isShownAlready = (notice: Notice): boolean => notice.kind === 'time agreed' || (notice.kind === 'you are released' && notice.why !== 'cafe asks another' && notice.why !== 'no time named');

const tellTechnician = async (telling: Telling, id: TechnicianId, notice: Notice): Promise<void> => {
  const { tx, ids, now, cafe, row } = telling;
  const technician = await technicianById(tx, id);
  const place = technician && (await placeFor(tx, technician));
  if (!technician || !place || isShownAlready(notice)) return;
  const told: TechnicianTold = { booking: row.id, technician: id, round: roundOf(bookingOf(row)) };
  const key = technicianKey(row.id, told.round, id);
  const priority: Priority = row.level === 'danger' ? 'danger' : 'visit';
  const people = technician.person === null ? [] : [personId(technician.person)];
  if (notice.kind === 'you are asked') await post(tx, ids, now, { key, cafe: cafe.id, place, kind: TECHNICIAN, data: told, priority, notify: people });
  else await post(tx, ids, now, { key: `${key}.${row.rev}.${notice.kind.replaceAll(' ', '-')}`, cafe: cafe.id, place, kind: NOTE, data: { ...told, notice, rev: row.rev, calendar: null } satisfies TechnicianNote, priority, notify: people });
};

const sendCalendar = async (telling: Telling, id: TechnicianId, calendar: Calendar): Promise<void> => {
  const { tx, ids, now, cafe, row } = telling;
  const technician = await technicianById(tx, id);
  const place = technician && (await placeFor(tx, technician));
  if (!technician || !place) return;
  const round = roundOf(bookingOf(row));
  const { number, sequence } = calendar.appointment;
  const key = `${technicianKey(row.id, round, id)}.file.${number}.${sequence}.${calendar.method}`;
  await post(tx, ids, now, { key, cafe: cafe.id, place, kind: NOTE, data: { booking: row.id, technician: id, round, notice: null, rev: -1, calendar } satisfies TechnicianNote, priority: 'visit', silent: true });
};

/** Everything an event tells, as messages in the transaction that changed the booking. */
export const tellAll = async (telling: Telling, effects: readonly Effect[]): Promise<void> => {
  const calendars = effects.flatMap((effect) => (effect.kind === 'calendar' ? [{ to: effect.to, calendar: { method: effect.method, technician: effect.technician, appointment: effect.appointment, stamp: telling.now } }] : []));
  const forCafe = calendars.find(({ to }) => to.party === 'cafe')?.calendar ?? null;
  const tells = effects.flatMap((effect) => (effect.kind === 'tell' ? [effect] : []));
  const toCafe = tells.filter(({ to }) => to.party === 'cafe');
  await refresh(telling);
  for (const [i, { notice }] of toCafe.entries()) {
    const row = { ...telling.row, told: telling.row.told + i };
    await tellCafe({ ...telling, row }, notice, i === 0 ? forCafe : null);
  }
  for (const { to, notice } of tells) if (to.party === 'technician') await tellTechnician(telling, to.id, notice);
  for (const { to, calendar } of calendars) if (to.party === 'technician') await sendCalendar(telling, to.id, calendar);
};
