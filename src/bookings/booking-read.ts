import { z } from 'zod';
import { instant } from '../time/instant.ts';
import type { Booking } from './booking-state.ts';

const at = z.number().transform(instant);
const span = z.object({ start: at, end: at });
const party = z.enum(['cafe', 'technician']);
const proposal = z.object({ by: party, span }).nullable();
const appointment = z.object({ number: z.number().int(), sequence: z.number().int(), span });
const held = { technician: z.string(), since: at };
const waiting = { proposal, answerBy: at.nullable(), reminded: z.boolean() };
const underWay = { appointment: appointment.nullable(), chased: z.boolean() };

const how = z.object({ sideUp: z.enum(['up', 'down']).nullable(), shimMm: z.number().nullable(), material: z.enum(['rubber', 'silicone']).nullable() });
export const fittedParts = z.array(z.object({ part: z.string(), count: z.number(), group: z.number().nullable(), how: how.optional() }));

const closeOut = z.object({
  cause: z.string(), confirmedBy: z.string().nullable(), fitted: fittedParts, words: z.string().nullable(), minutes: z.number().nullable(), price: z.number().nullable(),
  defectsLeft: z.array(z.string()), shouldHaveBooked: z.enum(['at that time', 'earlier', 'not at all']).nullable(), adviceWasSafe: z.boolean().nullable(),
});

const state = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('asked'), ...held, answerBy: at }),
  z.object({ kind: z.literal('taken'), ...held, ...waiting }),
  z.object({ kind: z.literal('time agreed'), ...held, appointment, proposal, chased: z.boolean() }),
  z.object({ kind: z.literal('on the way'), ...held, ...underWay }),
  z.object({ kind: z.literal('here'), ...held, ...underWay }),
  z.object({ kind: z.literal('waiting for a part'), ...held, ...waiting, part: z.string() }),
  z.object({ kind: z.literal('finished'), ...held, closeOut }),
  z.object({ kind: z.literal('called off'), by: party, technician: z.string().nullable(), since: at, reason: z.string() }),
  z.object({ kind: z.literal('nobody took it'), since: at }),
]);

const booking = z.object({
  id: z.string(), cafe: z.string(), caseId: z.string(), order: z.array(z.string()), asked: z.array(z.string()), answering: z.object({ within: z.number(), hours: z.array(span).nullable() }), suits: z.array(span), appointments: z.number().int(),
  reopened: z.array(z.object({ at, why: z.enum(['not cured', 'came back', 'still needed']) })), state,
});

/** A booking as its column holds it. Throws for what is none: then the database is not ours to go on with. */
export const readBooking = (text: string): Booking => booking.parse(JSON.parse(text));
