import { existsSync, readFileSync } from 'node:fs';
import { Ajv2020, type ValidateFunction } from 'ajv/dist/2020.js';
import type { Route } from './routes.ts';

/** The published description of the platform's HTTP interface (v10), kept outside the project. */
const PLACE = process.env['DISCORD_OPENAPI'] ?? '../shared/discord/openapi.json';
export const schemaPresent = existsSync(PLACE);

type Validator = (route: Route, body: unknown) => string[];
const FORMATS = ['snowflake', 'nonce', 'int32', 'int64', 'uri', 'date-time'];
const escaped = (part: string): string => encodeURIComponent(part.replaceAll('~', '~0').replaceAll('/', '~1'));

function loadAjv(): Ajv2020 {
  const ajv = new Ajv2020({ strict: false, allErrors: false, validateSchema: false });
  for (const format of FORMATS) ajv.addFormat(format, true);
  ajv.addSchema(JSON.parse(readFileSync(PLACE, 'utf8')) as object, 'platform');
  return ajv;
}

/** The page on commands calls this a string of a bit set, and so the client sends it; the description says integer. */
const numberOfBits = (body: unknown): unknown =>
  JSON.parse(JSON.stringify(body), (key, value: unknown) => (key === 'default_member_permissions' && typeof value === 'string' ? Number(value) : value));

let shared: Ajv2020 | undefined;
const compiled = new Map<string, ValidateFunction | undefined>();

function pointer(route: Route, ...rest: readonly string[]): string {
  return `platform#/paths/${[route.path, route.method.toLowerCase(), ...rest].map(escaped).join('/')}`;
}

function compile(ref: string): ValidateFunction | undefined {
  if (compiled.has(ref)) return compiled.get(ref);
  shared ??= loadAjv();
  let made: ValidateFunction | undefined;
  try {
    made = shared.compile({ $ref: ref });
  } catch (cause) {
    if (!(cause instanceof Error && /can't resolve reference/.test(cause.message))) throw cause;
  }
  compiled.set(ref, made);
  return made;
}

function complaints(validate: ValidateFunction | undefined, body: unknown): string[] {
  if (!validate || validate(body)) return [];
  return (validate.errors ?? []).slice(0, 4).map((error) => `${error.instancePath || '(body)'} ${error.message ?? ''}`);
}

/** What the published description has against the body of a request; nothing when it is not at hand. */
export const requestComplaints: Validator = (route, body) =>
  schemaPresent && body !== undefined ? complaints(compile(pointer(route, 'requestBody', 'content', 'application/json', 'schema')), numberOfBits(body)) : [];

/** The same for an answer of the double: it keeps the double itself honest. */
export const answerComplaints = (route: Route, status: number, body: unknown): string[] =>
  schemaPresent && body !== undefined ? complaints(compile(pointer(route, 'responses', String(status), 'content', 'application/json', 'schema')), JSON.parse(JSON.stringify(body))) : [];
