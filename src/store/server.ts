import { Kysely, PostgresDialect, PostgresDriver, sql, type DatabaseConnection, type Driver } from 'kysely';
import pg from 'pg';
import { refuseInside } from './guard.ts';
import { StoreTrouble, type Store } from './store.ts';
import type { Tables } from './tables.ts';

const INT8 = 20;

const safeInteger = (text: string): number => {
  const value = Number(text);
  if (!Number.isSafeInteger(value)) throw new RangeError('a whole number above 2^53 in the database');
  return value;
};

class GuardedDriver extends PostgresDriver {
  override async acquireConnection(): Promise<DatabaseConnection> {
    refuseInside();
    return super.acquireConnection();
  }
}

class GuardedDialect extends PostgresDialect {
  readonly #pool: pg.Pool;
  constructor(pool: pg.Pool) {
    super({ pool });
    this.#pool = pool;
  }
  override createDriver(): Driver {
    return new GuardedDriver({ pool: this.#pool });
  }
}

const createPool = (url: string): pg.Pool => {
  const pool = new pg.Pool({
    connectionString: url,
    max: 8,
    connectionTimeoutMillis: 5000,
    types: { getTypeParser: (oid: number, format?: 'text' | 'binary') => (oid === INT8 ? safeInteger : pg.types.getTypeParser(oid, format as 'text')) },
  });
  // A dropped idle connection is replaced at the next query; without a listener it would end the process.
  pool.on('error', () => undefined);
  return pool;
};

/** A PostgreSQL database, shared by any number of processes. Throws StoreTrouble when it does not answer. */
export const openServer = async (url: string): Promise<Store> => {
  const pool = createPool(url);
  const db = new Kysely<Tables>({ dialect: new GuardedDialect(pool) });
  try {
    await sql`select 1`.execute(db);
  } catch (cause) {
    await db.destroy();
    throw new StoreTrouble('unreachable', { cause });
  }
  return {
    dialect: 'server',
    db,
    claiming: (query) => query.forUpdate().skipLocked(),
    lockCafes: async (tx, ids) => {
      if (ids.length > 0) await tx.selectFrom('cafe').select('id').where('id', 'in', [...ids]).orderBy('id').forUpdate().execute();
    },
    lockFreeCafes: async (tx, ids) => {
      if (ids.length === 0) return [];
      const rows = await tx.selectFrom('cafe').select('id').where('id', 'in', [...ids]).orderBy('id').forUpdate().skipLocked().execute();
      return rows.map((row) => row.id);
    },
    mayRetry: (error) => error instanceof Error && 'code' in error && (error.code === '40P01' || error.code === '40001'),
    backup: async () => undefined,
    close: () => db.destroy(),
  };
};
