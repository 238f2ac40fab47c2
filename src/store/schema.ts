import { sql, type Kysely } from 'kysely';

/** A step of the database: written once, never changed after a release. Portable types only. */
export type Migration = { readonly name: string; readonly up: (db: Kysely<never>) => Promise<void> };

const TYPES = { '': 'text', t: 'bigint', i: 'integer', d: 'double precision', f: 'integer' } as const;

/** `name!` text that must be there, `name` text that may be missing, `name!t` an instant, `name.i` a small whole number that may be missing, `d` a measure, `f` a flag. */
const columnOf = (word: string): string => {
  const found = /^([a-z_]+)(?:([!.])([tidf]?))?$/.exec(word);
  if (!found) throw new Error(`not a column: ${word}`);
  const [, name = '', mark = '.', kind = ''] = found;
  const type = TYPES[kind as keyof typeof TYPES];
  const check = kind === 'f' ? ` check ("${name}" in (0, 1))` : '';
  return `"${name}" ${type}${mark === '!' ? ' not null' : ''}${check}`;
};

/** A table from a line of words, the same on both databases; its first column is the key unless told otherwise. */
export const createTable = async (db: Kysely<never>, table: string, columns: string, key = 'id'): Promise<void> => {
  const parts = [...columns.trim().split(/\s+/).map(columnOf), `primary key (${key})`];
  await sql.raw(`create table ${table} (${parts.join(', ')})`).execute(db);
};

export const index = async (db: Kysely<never>, name: string, on: string, options: { readonly unique?: true; readonly where?: string } = {}): Promise<void> => {
  const where = options.where === undefined ? '' : ` where ${options.where}`;
  await sql.raw(`create ${options.unique ? 'unique ' : ''}index ${name} on ${on}${where}`).execute(db);
};
