/** What a typed line means to the terminal itself; everything it does not know is said to the bot. */
export type LineMeaning =
  | { readonly kind: 'nothing' }
  | { readonly kind: 'quit' }
  | { readonly kind: 'help' }
  | { readonly kind: 'as'; readonly who: string }
  | { readonly kind: 'in'; readonly where: string }
  | { readonly kind: 'jump'; readonly by: Jump }
  | { readonly kind: 'choose'; readonly tag?: string; readonly numbers: readonly number[] }
  | { readonly kind: 'reply'; readonly tag?: string; readonly text: string }
  | { readonly kind: 'tick-mark'; readonly tag?: string; readonly given: boolean }
  | { readonly kind: 'photo'; readonly path: string; readonly text: string }
  | { readonly kind: 'command'; readonly name: string; readonly rest: string }
  | { readonly kind: 'say'; readonly text: string };

/** A stretch of time, or a wall clock time some days from now. */
export type Jump = { readonly kind: 'span'; readonly ms: number } | { readonly kind: 'to'; readonly days: number; readonly time: string } | { readonly kind: 'unclear' };

const UNITS: Readonly<Record<string, number>> = { m: 60_000, min: 60_000, minutes: 60_000, h: 3_600_000, hour: 3_600_000, hours: 3_600_000, d: 86_400_000, day: 86_400_000, days: 86_400_000, w: 604_800_000, week: 604_800_000, weeks: 604_800_000 };
const MOST_JUMP = 400 * 86_400_000;

export const parseJump = (text: string): Jump => {
  const span = /^(\d+(?:\.\d+)?)\s*([a-z]+)$/.exec(text);
  const unit = UNITS[span?.[2] ?? ''];
  if (span && unit !== undefined) {
    const ms = Math.round(Number(span[1]) * unit);
    return ms > 0 && ms <= MOST_JUMP ? { kind: 'span', ms } : { kind: 'unclear' };
  }
  const to = /^(?:(tomorrow|in (\d{1,2}) days)\s*(?:at )?)?(\d{1,2}):(\d\d)$/.exec(text);
  if (!to || Number(to[3]) > 23 || Number(to[4]) > 59) return { kind: 'unclear' };
  const days = to[2] !== undefined ? Number(to[2]) : to[1] === undefined ? 0 : 1;
  return { kind: 'to', days, time: `${(to[3] ?? '').padStart(2, '0')}:${to[4]}` };
};

const tagged = (tag: string | undefined): { tag?: string } => (tag === undefined ? {} : { tag: tag.toLowerCase() });

export const parseLine = (typed: string): LineMeaning => {
  const text = typed.trim();
  const low = text.toLowerCase();
  if (text === '') return { kind: 'nothing' };
  if (low === 'quit' || low === 'exit') return { kind: 'quit' };
  if (low === 'help' || low === '?') return { kind: 'help' };
  const as = /^as (\S+)$/.exec(low);
  if (as) return { kind: 'as', who: as[1] ?? '' };
  const where = /^in #?(\S+)$/.exec(low);
  if (where) return { kind: 'in', where: where[1] ?? '' };
  const jump = /^jump (?:to )?(.+)$/.exec(low);
  if (jump) return { kind: 'jump', by: parseJump(jump[1] ?? '') };
  const choose = /^([a-z]{1,2})?(\d{1,2}(?:[ ,]+\d{1,2})*)$/.exec(low);
  if (choose) return { kind: 'choose', ...tagged(choose[1]), numbers: (choose[2] ?? '').split(/[ ,]+/).map(Number) };
  const reply = /^reply(?: ([a-z]{1,2}))?: ?(.+)$/i.exec(text);
  if (reply) return { kind: 'reply', ...tagged(reply[1]), text: reply[2] ?? '' };
  const tick = /^(un)?tick(?: ([a-z]{1,2}))?$/.exec(low);
  if (tick) return { kind: 'tick-mark', ...tagged(tick[2]), given: tick[1] === undefined };
  const photo = /^photo (\S+) ?(.*)$/.exec(text);
  if (photo) return { kind: 'photo', path: photo[1] ?? '', text: photo[2] ?? '' };
  const command = /^\/([a-z]+)(?: (.*))?$/i.exec(text);
  if (command) return { kind: 'command', name: (command[1] ?? '').toLowerCase(), rest: command[2] ?? '' };
  return { kind: 'say', text };
};
