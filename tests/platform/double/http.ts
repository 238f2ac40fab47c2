import type { IncomingMessage, ServerResponse } from 'node:http';
import type { Faults, Planted } from './faults.ts';
import type { Inside } from './inside.ts';
import type { newPacer, Verdict } from './pace.ts';
import { Refusal, refusalBody, refusals } from './refusal.ts';
import { checkSize, takeBody, type Taken } from './request-body.ts';
import type { Matcher, Reply, Route } from './routes.ts';
import { answerComplaints, requestComplaints } from './schema.ts';

/** One request of the bot, as it came. */
export type Asked = { readonly route: string; readonly method: string; readonly path: string; readonly body: unknown; readonly files: number; readonly at: number; status: number | 'lost' | undefined };
export type Desk = {
  readonly inside: Inside;
  readonly faults: Faults;
  readonly pacer: ReturnType<typeof newPacer>;
  readonly match: Matcher;
  readonly requests: Asked[];
  /** Ends interactions whose time is up before anything is judged. */
  readonly expire: () => void;
  /** Holds the answers against the published description too. */
  readonly checkOwn: boolean;
};
/** Codes that mean the bot asked for something it must never ask; the others depend on people and settings. */
const FAULTY: ReadonlySet<number> = new Set([30010, 40005, 40060, 50005, 50006, 50027, 50035, 10015, 10062]);

const send = (res: ServerResponse, status: number, body: unknown, headers: Readonly<Record<string, string>> = {}): void => {
  if (body === undefined) {
    res.writeHead(status, headers).end();
    return;
  }
  res.writeHead(status, { 'content-type': 'application/json', ...headers }).end(JSON.stringify(body));
};

function sendFile(desk: Desk, path: string, res: ServerResponse): void {
  const [, , channelId = '', id = ''] = path.split('/');
  const files = [...(desk.inside.world.messages.get(channelId)?.values() ?? [])].flatMap((message) => message.attachments);
  const file = [...files, ...desk.inside.interactions.files.values()].find((one) => one.id === id);
  if (!file) return send(res, 404, { message: 'Unknown file' });
  res.writeHead(200, { 'content-type': file.contentType }).end(file.bytes);
}

const tooMany = (seconds: number, global: boolean): object => ({ message: 'You are being rate limited.', retry_after: seconds, global });

/** True when the request ends here. */
async function suffer(planted: Planted | undefined, req: IncomingMessage, res: ServerResponse): Promise<boolean> {
  const fault = planted?.fault;
  switch (fault?.kind) {
    case 'reset':
      req.socket.resetAndDestroy();
      return true;
    case 'close':
      req.socket.destroy();
      return true;
    case 'silence':
      return true;
    case 'hold':
      await planted?.released;
      return false;
    case 'delay':
      await new Promise((go) => setTimeout(go, fault.ms));
      return false;
    case 'refuse':
      send(res, fault.status, { message: fault.message ?? `${fault.status}`, code: fault.code ?? 0 });
      return true;
    case 'too many': {
      const scope = fault.scope ?? 'user';
      const global: Record<string, string> = scope === 'global' ? { 'x-ratelimit-global': 'true' } : {};
      send(res, 429, tooMany(fault.retryAfter, scope === 'global'), { 'retry-after': String(Math.ceil(fault.retryAfter)), 'x-ratelimit-reset-after': String(fault.retryAfter), 'x-ratelimit-scope': scope, ...global });
      return true;
    }
    case 'lose answer':
    case 'hold answer':
    case undefined:
      return false;
  }
}

function lose(by: 'reset' | 'close' | '502' | 'silence', req: IncomingMessage, res: ServerResponse): void {
  if (by === 'silence') return;
  if (by === '502') return send(res, 502, { message: '502: Bad Gateway', code: 0 });
  if (by === 'close') req.socket.destroy();
  else req.socket.resetAndDestroy();
}

function judged(desk: Desk, route: Route, req: IncomingMessage, params: Record<string, string>, query: URLSearchParams, taken: Taken): { status: number; body?: unknown } {
  const { inside } = desk;
  try {
    if (!route.open && req.headers.authorization !== `Bot ${inside.world.bot.token}`) throw refusals.unauthorised();
    checkSize(taken);
    for (const complaint of requestComplaints(route, taken.body)) inside.problems.push({ kind: 'not as published', detail: `${route.name}: ${complaint}` });
    desk.expire();
    const reply: Reply = route.handle({ inside, params, query, body: taken.body, files: taken.files });
    const doubts = desk.checkOwn ? answerComplaints(route, reply.status, reply.body) : [];
    for (const complaint of doubts) inside.doubts.push(`${route.name}: ${complaint}`);
    return reply;
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    const where = error.form.map((one) => `${one.path} ${one.message}`).join('; ');
    if (FAULTY.has(error.code)) inside.problems.push({ kind: `refused ${error.code}`, detail: `${route.name}: ${error.message} ${where}`.trim() });
    return { status: error.status, body: refusalBody(error) };
  }
}

function slowDown(desk: Desk, route: Route, params: Record<string, string>): Verdict {
  const major = params['channel_id'] ?? params['guild_id'] ?? params['webhook_token'] ?? '';
  const verdict = desk.pacer(`${route.name} ${major}`, route.open !== true);
  if (verdict.wait) desk.inside.problems.push({ kind: 'too fast', detail: `${route.name} ${major}` });
  return verdict;
}

/** One request from arrival to answer: recorded, tripped, slowed, judged, answered. */
export async function serve(desk: Desk, req: IncomingMessage, res: ServerResponse): Promise<void> {
  const { inside } = desk;
  const url = new URL(req.url ?? '/', 'http://double');
  if (inside.gateway.isAway()) {
    req.socket.destroy();
    return;
  }
  if (url.pathname.startsWith('/attachments/')) return sendFile(desk, url.pathname, res);
  const path = url.pathname.replace(/^\/api\/v10/, '').replaceAll('%40', '@');
  const found = desk.match(req.method ?? '', path);
  const taken = await takeBody(req);
  const asked: Asked = { route: found?.route.name ?? 'unknown', method: req.method ?? '', path, body: taken.body, files: taken.files.size, at: inside.world.clock.now(), status: undefined };
  desk.requests.push(asked);
  if (!found) {
    inside.problems.push({ kind: 'unknown route', detail: `${req.method ?? ''} ${path}` });
    return send(res, 404, { message: '404: Not Found', code: 0 });
  }
  const planted = desk.faults.take(found.route.name);
  const ended = await suffer(planted, req, res);
  if (ended) return finish(desk, asked, res.headersSent ? res.statusCode : 'lost');
  const verdict = slowDown(desk, found.route, found.params);
  if (verdict.wait) {
    send(res, 429, tooMany(verdict.wait.seconds, verdict.wait.global), { ...verdict.headers, 'retry-after': String(Math.ceil(verdict.wait.seconds)) });
    return finish(desk, asked, 429);
  }
  const reply = judged(desk, found.route, req, found.params, url.searchParams, taken);
  if (planted?.fault.kind === 'lose answer') {
    lose(planted.fault.by, req, res);
    return finish(desk, asked, 'lost');
  }
  if (planted?.fault.kind === 'hold answer') await planted.released;
  send(res, reply.status, reply.body, verdict.headers);
  finish(desk, asked, reply.status);
}

function finish(desk: Desk, asked: Asked, status: number | 'lost'): void {
  asked.status = status;
  desk.inside.journal.note({ kind: 'answered', route: asked.route, status: status === 'lost' ? 0 : status });
}
