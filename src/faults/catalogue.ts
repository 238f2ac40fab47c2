import { parseDocument } from 'yaml';
import type { z } from 'zod';
import { crossCheck } from './catalogue-links.ts';
import {
  FILE_SCHEMAS,
  type CatalogueCause,
  type CatalogueFact,
  type CatalogueJob,
  type CataloguePair,
  type CatalogueQuestion,
  type CatalogueSymptom,
} from './catalogue-schema.ts';

/** Everything the bot knows of faults, as written in config/faults, checked and with defaults put in. */
export type Catalogue = {
  readonly symptoms: readonly CatalogueSymptom[];
  readonly questions: readonly CatalogueQuestion[];
  readonly facts: readonly CatalogueFact[];
  readonly causes: readonly CatalogueCause[];
  readonly jobs: readonly CatalogueJob[];
  readonly pairs: readonly CataloguePair[];
};

/** One thing wrong in a file of the catalogue, for whoever edits it. */
export type Finding = { readonly file: string; readonly key: string; readonly problem: string; readonly cure: string };

export type CatalogueFile = { readonly file: string; readonly text: string };

export type Parsed = { readonly kind: 'good'; readonly catalogue: Catalogue } | { readonly kind: 'broken'; readonly findings: readonly Finding[] };

/** Where each id is written, so that a finding can name the file. */
export type Places = ReadonlyMap<string, string>;

type Kind = keyof typeof FILE_SCHEMAS;

const kindOf = (file: string): Kind | undefined => {
  if (/(^|\/)causes\/[^/]+\.ya?ml$/.test(file)) return 'causes';
  const name = /([^/]+)\.ya?ml$/.exec(file)?.[1];
  return name !== undefined && name !== 'causes' && name in FILE_SCHEMAS ? (name as Kind) : undefined;
};

/** `causes[seal-worn].facts.rim`: list entries by their id where they have one, since people search for names. */
const keyOf = (path: readonly PropertyKey[], data: unknown): string => {
  let here: unknown = data;
  return path
    .map((part) => {
      here = typeof here === 'object' && here !== null ? (here as Record<PropertyKey, unknown>)[part] : undefined;
      const name = typeof here === 'object' && here !== null && 'id' in here ? String(here.id) : String(part);
      return typeof part === 'number' ? `[${name}]` : `.${String(part)}`;
    })
    .join('')
    .replace(/^\./, '');
};

const schemaFindings = (file: string, data: unknown, error: z.ZodError): Finding[] =>
  error.issues.map((issue) => ({
    file,
    key: keyOf(issue.path, data),
    problem: issue.message,
    cure: issue.code === 'unrecognized_keys' ? 'Correct the spelling of this key, or remove it.' : 'Correct this value; other entries of the same list show the form.',
  }));

type Read<K extends Kind> = { readonly kind: K; readonly file: string; readonly data: z.output<(typeof FILE_SCHEMAS)[K]> };
type ReadAny = { [K in Kind]: Read<K> }[Kind];

const readFile = ({ file, text }: CatalogueFile): ReadAny | readonly Finding[] => {
  const kind = kindOf(file);
  if (!kind) return [{ file, key: '', problem: 'this file has no place in the catalogue', cure: `Name it ${Object.keys(FILE_SCHEMAS).join('.yaml, ')}.yaml, or put it into causes/.` }];
  const document = parseDocument(text, { uniqueKeys: true });
  if (document.errors.length > 0)
    return document.errors.map((error) => ({ file, key: `line ${error.linePos?.[0].line ?? '?'}`, problem: error.message.split('\n')[0] ?? error.code, cure: 'Correct the YAML at this line.' }));
  const data: unknown = document.toJS();
  const parsed = FILE_SCHEMAS[kind].safeParse(data);
  return parsed.success ? ({ kind, file, data: parsed.data } as ReadAny) : schemaFindings(file, data, parsed.error);
};

const isRead = (each: ReadAny | readonly Finding[]): each is ReadAny => 'kind' in each;

const allOf = <K extends Kind>(read: readonly ReadAny[], kind: K): readonly Read<K>[] => read.filter((each): each is ReadAny & Read<K> => each.kind === kind);

const assemble = (read: readonly ReadAny[]): Catalogue => ({
  symptoms: allOf(read, 'symptoms').flatMap(({ data }) => data.symptoms),
  questions: allOf(read, 'questions').flatMap(({ data }) => data.questions),
  facts: allOf(read, 'facts').flatMap(({ data }) => data.facts),
  jobs: allOf(read, 'jobs').flatMap(({ data }) => data.jobs),
  pairs: allOf(read, 'pairs').flatMap(({ data }) => data.pairs),
  causes: allOf(read, 'causes').flatMap(({ data: { area, defaults, causes } }) =>
    causes.map((cause) => ({
      ...cause,
      area,
      reach: cause.reach ?? defaults.reach,
      severity: cause.severity ?? defaults.severity,
      waste: cause.waste ?? defaults.waste,
    })),
  ),
});

const placesOf = (read: readonly ReadAny[]): Places => {
  const places = new Map<string, string>();
  for (const { kind, file, data } of read) {
    const list = (data as Record<string, unknown>)[kind] as readonly { readonly id?: string }[];
    for (const entry of list) if (entry.id !== undefined) places.set(`${kind} ${entry.id}`, file);
  }
  return places;
};

/** Reads and checks the whole catalogue. All findings come at once, each with its file, its key and a cure. */
export const parseCatalogue = (files: readonly CatalogueFile[]): Parsed => {
  const results = files.map(readFile);
  const findings = results.flatMap((each) => (isRead(each) ? [] : each));
  if (findings.length > 0) return { kind: 'broken', findings };
  const read = results.filter(isRead);
  const catalogue = assemble(read);
  const linked = crossCheck(catalogue, placesOf(read));
  return linked.length > 0 ? { kind: 'broken', findings: linked } : { kind: 'good', catalogue };
};

export const causeById = (catalogue: Catalogue): ReadonlyMap<string, CatalogueCause> => new Map(catalogue.causes.map((cause) => [cause.id, cause]));
