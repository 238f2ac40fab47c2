import { existsSync, readFileSync } from 'node:fs';
import { Ajv2020, type ValidateFunction } from 'ajv/dist/2020.js';
import type { Route } from './routes.ts';

/** The published description of the platform's HTTP interface (v10), kept outside the project. */
const PLACE = process.env['DISCORD_OPENAPI'] ?? '../shared/discord/openapi.json';
export const schemaPresent = existsSync(PLACE);

type Operation = { readonly operationId?: string; readonly requestBody?: object; readonly responses?: Readonly<Record<string, object>> };
type Published = { readonly paths: Readonly<Record<string, Readonly<Record<string, Operation>>>> };
let published: Published | undefined;
let shared: Ajv2020 | undefined;

const description = (): Published => (published ??= JSON.parse(readFileSync(PLACE, 'utf8')) as Published);
const operation = (route: Route): Operation | undefined => description().paths[route.path]?.[route.method.toLowerCase()];

/** Bounds carry the weight, formats are taken as written; references left in place compile in half the time. */
function validating(): Ajv2020 {
  if (shared) return shared;
  shared = new Ajv2020({ strict: false, validateSchema: false, validateFormats: false, inlineRefs: false });
  return shared.addSchema(description(), 'platform');
}

const compiled = new Map<string, ValidateFunction | undefined>();
function validator(route: Route, within: readonly string[], there: boolean): ValidateFunction | undefined {
  const steps = ['paths', route.path, route.method.toLowerCase(), ...within, 'content', 'application/json', 'schema'];
  const ref = `platform#/${steps.map((step) => encodeURIComponent(step.replaceAll('/', '~1'))).join('/')}`;
  if (!compiled.has(ref)) compiled.set(ref, there ? validating().compile({ $ref: ref }) : undefined);
  return compiled.get(ref);
}

/** The page on commands calls this a string of a bit set, and so the client sends it; the description says integer. */
const numberOfBits = (body: unknown): unknown =>
  JSON.parse(JSON.stringify(body), (key, value: unknown) => (key === 'default_member_permissions' && typeof value === 'string' ? Number(value) : value));

function complaints(validate: ValidateFunction | undefined, body: unknown): string[] {
  if (!validate || validate(body)) return [];
  return (validate.errors ?? []).slice(0, 4).map((error) => `${error.instancePath || '(body)'} ${error.message ?? ''}`);
}

/** What the published description has against the body of a request; nothing when it is not at hand. */
export function requestComplaints(route: Route, body: unknown): string[] {
  if (!schemaPresent || body === undefined) return [];
  return complaints(validator(route, ['requestBody'], operation(route)?.requestBody !== undefined), numberOfBits(body));
}

/** The same for an answer of the double: it keeps the double itself honest. */
export function answerComplaints(route: Route, status: number, body: unknown): string[] {
  if (!schemaPresent || body === undefined) return [];
  const there = operation(route)?.responses?.[String(status)] !== undefined;
  return complaints(validator(route, ['responses', String(status)], there), JSON.parse(JSON.stringify(body)));
}

/** Whether the published description has that path, method and name. */
export const routeKnown = (route: Route): boolean => operation(route)?.operationId === route.name;
