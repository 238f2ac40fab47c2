import type { Server } from 'node:http';
import { WebSocketServer, type WebSocket } from 'ws';
import type { Journal } from './journal.ts';
import { frame, KEPT_MS, record, type Session } from './sessions.ts';
import { guildCreateWire, userWire, type Wire } from './wire-places.ts';
import { userNamed, type World } from './world.ts';

/** Bits of the intents, from the platform's list of gateway intents. */
export const INTENT = {
  none: 0, guilds: 1 << 0, members: 1 << 1, presences: 1 << 8, guildMessages: 1 << 9, guildReactions: 1 << 10, direct: 1 << 12, directReactions: 1 << 13, content: 1 << 15,
} as const;
export type Gateway = {
  /** Sends an event to every session that asked for it; a session without a socket keeps it for its resume. */
  readonly dispatch: (t: string, d: Wire, needs: number) => void;
  readonly sessions: Map<string, Session>;
  /** The next event named `t` arrives `times` times: 0 loses it, 2 doubles it. */
  readonly repeatNext: (t: string, times: number) => void;
  /** Closes the bot's connections with `code`; without one the line just breaks. */
  readonly drop: (code?: number) => void;
  readonly askToReconnect: () => void;
  /** Ends the session; `resumable` leaves it in place. */
  readonly invalidate: (resumable?: boolean) => void;
  /** The present connections stay open, but nothing is answered and nothing passed on. */
  readonly deafen: () => void;
  /** Refuses connections until `back`. */
  readonly away: () => void;
  readonly back: () => void;
  /** True while refusing. */
  readonly isAway: () => boolean;
  /** Resolves when the bot has taken in every event sent so far. */
  readonly heard: () => Promise<void>;
  readonly identifies: number[];
  readonly close: () => Promise<void>;
};
type Told = { readonly op: number; readonly d?: unknown };

export function openGateway(server: Server, world: World, journal: Journal, beatMs: number): Gateway {
  const sockets = new WebSocketServer({ noServer: true });
  const sessions = new Map<string, Session>();
  const identifies: number[] = [];
  const repeats = new Map<string, number>();
  const deaf = new WeakSet<WebSocket>();
  let gone = false;

  server.on('upgrade', (request, socket, head) => {
    if (gone) {
      socket.destroy();
      return;
    }
    sockets.handleUpgrade(request, socket, head, (ws) => welcome(ws));
  });

  function welcome(ws: WebSocket): void {
    frame(ws, { op: 10, d: { heartbeat_interval: beatMs } });
    let session: Session | undefined;
    ws.on('message', (data: Buffer) => {
      const told = JSON.parse(data.toString('utf8')) as Told;
      if (told.op === 1 && !deaf.has(ws)) beat(ws, session);
      if (told.op === 2) session = identify(ws, told.d as IdentifyData);
      if (told.op === 6) session = resume(ws, told.d as ResumeData);
    });
    ws.on('close', (code: number) => leave(session, ws, code));
  }

  function beat(ws: WebSocket, session: Session | undefined): void {
    frame(ws, { op: 11 });
    if (session) journal.note({ kind: 'bot beat', sessionId: session.id });
  }

  function identify(ws: WebSocket, d: IdentifyData): Session | undefined {
    identifies.push(world.clock.now());
    if (d.token !== world.bot.token) return refuse(ws, 4004);
    if (!allowed(world, d.intents)) return refuse(ws, 4014);
    const session: Session = { id: `session-${world.newId()}`, intents: d.intents, sent: [], seq: 0, socket: ws, goneAt: undefined };
    sessions.set(session.id, session);
    deliver(session, 'READY', readyWire(world, session.id));
    if (d.intents & INTENT.guilds) for (const guild of world.guilds.values()) deliver(session, 'GUILD_CREATE', guildCreateWire(world, guild));
    journal.note({ kind: 'bot connected', sessionId: session.id });
    return session;
  }

  function resume(ws: WebSocket, d: ResumeData): Session | undefined {
    const session = sessions.get(d.session_id);
    const late = session?.goneAt !== undefined && world.clock.now() - session.goneAt > KEPT_MS;
    if (d.token !== world.bot.token) return refuse(ws, 4004);
    if (!session || late) {
      sessions.delete(d.session_id);
      frame(ws, { op: 9, d: false });
      return undefined;
    }
    session.socket = ws;
    session.goneAt = undefined;
    for (const event of session.sent) if (event.s > d.seq) frame(ws, { op: 0, ...event });
    deliver(session, 'RESUMED', {});
    journal.note({ kind: 'bot resumed', sessionId: session.id });
    return session;
  }

  function leave(session: Session | undefined, ws: WebSocket, code: number): void {
    if (!session || session.socket !== ws) return;
    session.socket = undefined;
    session.goneAt = world.clock.now();
    if (code === 1000 || code === 1001) sessions.delete(session.id);
    journal.note({ kind: 'bot disconnected', sessionId: session.id });
  }

  function deliver(session: Session, t: string, d: unknown, times = 1): void {
    const event = record(session, t, d);
    for (let i = 0; i < times; i += 1) if (session.socket && !deaf.has(session.socket)) frame(session.socket, { op: 0, ...event });
  }

  const connected = (): Session[] => [...sessions.values()].filter((session) => session.socket);
  return {
    sessions,
    identifies,
    dispatch: (t, d, needs) => {
      const times = repeats.get(t) ?? 1;
      repeats.delete(t);
      for (const session of sessions.values()) if ((session.intents & needs) === needs) deliver(session, t, d, times);
    },
    repeatNext: (t, times) => void repeats.set(t, times),
    drop: (code) => connected().forEach(({ socket }) => (code === undefined ? socket?.terminate() : socket?.close(code))),
    askToReconnect: () => connected().forEach(({ socket }) => socket && frame(socket, { op: 7, d: null })),
    invalidate: (resumable = false) =>
      connected().forEach((session) => {
        if (!resumable) sessions.delete(session.id);
        if (session.socket) frame(session.socket, { op: 9, d: resumable });
      }),
    deafen: () => connected().forEach(({ socket }) => socket && deaf.add(socket)),
    away: () => {
      gone = true;
      connected().forEach(({ socket }) => socket?.terminate());
    },
    back: () => {
      gone = false;
    },
    isAway: () => gone,
    heard: async () => {
      const since = journal.mark();
      const asked = connected().filter(({ socket }) => socket && !deaf.has(socket));
      asked.forEach(({ socket }) => socket && frame(socket, { op: 1, d: null }));
      for (const { id } of asked) await journal.until(since, 'the bot to have heard all', (e): e is typeof e & { kind: 'bot beat' | 'bot disconnected' } => (e.kind === 'bot beat' || e.kind === 'bot disconnected') && e.sessionId === id);
    },
    close: () =>
      new Promise((resolve) => {
        for (const ws of sockets.clients) ws.terminate();
        sockets.close(() => resolve());
      }),
  };
}

type IdentifyData = { readonly token: string; readonly intents: number };
type ResumeData = { readonly token: string; readonly session_id: string; readonly seq: number };

function allowed(world: World, intents: number): boolean {
  const { messageContent, members, presences } = world.bot.granted;
  const asked = (bit: number): boolean => (intents & bit) !== 0;
  return (messageContent || !asked(INTENT.content)) && (members || !asked(INTENT.members)) && (presences || !asked(INTENT.presences));
}

function refuse(ws: WebSocket, code: 4004 | 4014): undefined {
  ws.close(code, code === 4004 ? 'Authentication failed.' : 'Disallowed intent(s).');
}

const readyWire = (world: World, sessionId: string): Wire => ({
  v: 10, user: { ...userWire(userNamed(world, world.bot.userId)), bot: true, verified: true, mfa_enabled: false, email: null },
  guilds: [...world.guilds.keys()].map((id) => ({ id, unavailable: true })), session_id: sessionId, session_type: 'normal', shard: [0, 1],
  resume_gateway_url: world.origin.replace('http', 'ws'), private_channels: [], application: { id: world.bot.applicationId, flags: applicationFlags(world) },
});

/** The "limited" bits, as an application below the review threshold has them. */
export const applicationFlags = (world: World): number =>
  (world.bot.granted.presences ? 1 << 13 : 0) | (world.bot.granted.members ? 1 << 15 : 0) | (world.bot.granted.messageContent ? 1 << 19 : 0);
