import type { WebSocket } from 'ws';
import type { Wire } from './wire-places.ts';

/** One login of the bot. It outlives its socket, so that a resume can replay what was missed. */
export type Session = {
  readonly id: string;
  readonly intents: number;
  /** Events sent or kept, in order; `s` of the first is 1. */
  readonly sent: { readonly t: string; readonly s: number; readonly d: unknown }[];
  seq: number;
  socket: WebSocket | undefined;
  /** When the socket went, by the double's clock. */
  goneAt: number | undefined;
};
/** The platform keeps a session "a few minutes"; no figure is published, this is an assumption. */
export const KEPT_MS = 180_000;

export const frame = (socket: WebSocket, body: Wire): void => {
  if (socket.readyState === socket.OPEN) socket.send(JSON.stringify(body));
};

export function record(session: Session, t: string, d: unknown): { t: string; s: number; d: unknown } {
  session.seq += 1;
  const event = { t, s: session.seq, d };
  session.sent.push(event);
  return event;
}
