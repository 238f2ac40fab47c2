import pg from 'pg';
import { openStore } from '../../src/store/open.ts';
import type { Store } from '../../src/store/store.ts';

const SERVER = process.env['TEST_DATABASE_URL'];
let count = 0;

/** A database of its own for one test: an empty schema on the server, or memory. */
export type Database = { readonly name: string; readonly open: () => Promise<Store> };

const freshSchema = async (url: string): Promise<string> => {
  const schema = `t${process.pid}_${Date.now().toString(36)}_${count++}`;
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  await client.query(`create schema ${schema}`);
  await client.end();
  const separator = url.includes('?') ? '&' : '?';
  return `${url}${separator}options=${encodeURIComponent(`-c search_path=${schema}`)}`;
};

export const embedded: Database = { name: 'embedded', open: () => openStore({}) };
/** Address of an empty schema, for tests in which several processes or pools share one. */
export const serverAddress = (): Promise<string> => freshSchema(SERVER ?? '');
export const server: Database = { name: 'server', open: async () => openStore({ url: await serverAddress() }) };

/** Both databases where a server is given; with TEST_DATABASE_URL set, one that does not answer fails the tests. */
export const databases: readonly Database[] = SERVER === undefined ? [embedded] : [embedded, server];
