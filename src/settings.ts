import { z } from 'zod';
import { parseRehearsal } from './time/clock.ts';
import type { Instant } from './time/instant.ts';

export type Settings = {
  readonly dataDir: string;
  readonly databaseUrl?: string;
  readonly discord?: { readonly token: string; readonly api?: string };
  readonly rehearsal?: { readonly start: Instant; readonly speed: number };
  readonly logLevel: string;
};

const LOOPBACK = new Set(['127.0.0.1', 'localhost', '[::1]', '::1']);

/** True for an address on this machine alone. */
export const isLoopback = (url: string): boolean => URL.canParse(url) && LOOPBACK.has(new URL(url).hostname);

const empty = (text: string | undefined): string | undefined => (text === undefined || text.trim() === '' ? undefined : text.trim());
const optional = z.string().optional().transform(empty);

const schema = z
  .object({
    DATA_DIR: optional,
    DATABASE_URL: optional.refine((url) => url === undefined || /^postgres(ql)?:\/\//.test(url), 'must start with postgres://. Correct it, or leave it out to use the embedded database.'),
    DISCORD_TOKEN: optional,
    DISCORD_API_URL: optional.refine((url) => url === undefined || /^https?:\/\//.test(url) && URL.canParse(url), 'must be an address such as https://host/api. Correct it or leave it out.'),
    REHEARSAL_CLOCK: optional.refine((text) => text === undefined || parseRehearsal(text) !== undefined, 'must look like 2027-03-27T15:00:00Z/600: a start in UTC, a slash, and how many times as fast. Correct it or leave it out.'),
    LOG_LEVEL: optional.pipe(z.enum(['debug', 'info', 'warn', 'error', 'silent'], 'must be debug, info, warn, error or silent.').optional()),
  })
  .superRefine((given, context) => {
    const real = given.DISCORD_TOKEN !== undefined && !(given.DISCORD_API_URL !== undefined && isLoopback(given.DISCORD_API_URL));
    if (given.REHEARSAL_CLOCK !== undefined && real)
      context.addIssue({ code: 'custom', path: ['REHEARSAL_CLOCK'], message: 'cannot be used on the real platform: people would be reminded at the wrong time. Take it out, or take out DISCORD_TOKEN.' });
  });

/** Names that begin like ours but are not ours: most likely a typing error. */
const KNOWN = new Set(['DATA_DIR', 'DATABASE_URL', 'DISCORD_TOKEN', 'DISCORD_API_URL', 'REHEARSAL_CLOCK', 'LOG_LEVEL', 'TEST_DATABASE_URL']);
const unknownNames = (environment: Readonly<Record<string, string | undefined>>): readonly string[] =>
  Object.keys(environment).filter((name) => /^(DISCORD_|REHEARSAL|GROUPHAND_)/.test(name) && !KNOWN.has(name));

/** The environment as settings, or one text that names every problem and its cure. */
export const readSettings = (environment: Readonly<Record<string, string | undefined>>): { readonly ok: true; readonly settings: Settings } | { readonly ok: false; readonly problem: string } => {
  const parsed = schema.safeParse(environment);
  const problems = [
    ...unknownNames(environment).map((name) => `${name} is not a setting of this program. Known: ${[...KNOWN].filter((each) => !each.startsWith('TEST')).join(', ')}.`),
    ...(parsed.success ? [] : parsed.error.issues.map((issue) => `${issue.path.join('.')} ${issue.message}`)),
  ];
  if (!parsed.success || problems.length > 0) return { ok: false, problem: ['The settings need a change:', ...problems.map((each) => `- ${each}`)].join('\n') };
  const { data } = parsed;
  const rehearsal = data.REHEARSAL_CLOCK === undefined ? undefined : parseRehearsal(data.REHEARSAL_CLOCK);
  return {
    ok: true,
    settings: {
      dataDir: data.DATA_DIR ?? 'data',
      logLevel: data.LOG_LEVEL ?? 'warn',
      ...(data.DATABASE_URL === undefined ? {} : { databaseUrl: data.DATABASE_URL }),
      ...(data.DISCORD_TOKEN === undefined ? {} : { discord: { token: data.DISCORD_TOKEN, ...(data.DISCORD_API_URL === undefined ? {} : { api: data.DISCORD_API_URL }) } }),
      ...(rehearsal === undefined ? {} : { rehearsal }),
    },
  };
};
