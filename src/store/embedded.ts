import Database from 'better-sqlite3';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { CompiledQuery, Kysely, SqliteDialect, SqliteDriver, type DatabaseConnection, type Driver } from 'kysely';
import { refuseInside } from './guard.ts';
import { StoreTrouble, type Store } from './store.ts';
import type { Tables } from './tables.ts';

class ImmediateDriver extends SqliteDriver {
  override async acquireConnection(): Promise<DatabaseConnection> {
    refuseInside();
    return super.acquireConnection();
  }
  override async beginTransaction(connection: DatabaseConnection): Promise<void> {
    await connection.executeQuery(CompiledQuery.raw('begin immediate'));
  }
}

class ImmediateDialect extends SqliteDialect {
  readonly #database: Database.Database;
  constructor(database: Database.Database) {
    super({ database });
    this.#database = database;
  }
  override createDriver(): Driver {
    return new ImmediateDriver({ database: this.#database });
  }
}

/** Held for life by the one process that owns the folder; the operating system lets go when it dies. */
const lockFolder = (folder: string): Database.Database => {
  const lock = new Database(join(folder, 'lock.db'), { timeout: 200 });
  try {
    lock.exec('begin exclusive');
    return lock;
  } catch (cause) {
    lock.close();
    throw new StoreTrouble('in-use', { cause });
  }
};

const openFile = (folder: string | undefined): { database: Database.Database; unlock: () => void } => {
  if (folder === undefined) return { database: new Database(':memory:'), unlock: () => undefined };
  try {
    mkdirSync(folder, { recursive: true });
  } catch (cause) {
    throw new StoreTrouble('unreachable', { cause });
  }
  const lock = lockFolder(folder);
  const database = new Database(join(folder, 'grouphand.sqlite'));
  return { database, unlock: () => lock.close() };
};

/** The embedded database in `folder`, or in memory when none is given. Throws StoreTrouble when another process has it. */
export const openEmbedded = (folder: string | undefined, watch?: (query: string, parameters: readonly unknown[]) => void): Store => {
  const { database, unlock } = openFile(folder);
  try {
    database.pragma('journal_mode = wal');
    database.pragma('synchronous = full');
    database.pragma('foreign_keys = on');
    database.pragma('busy_timeout = 2000');
  } catch (cause) {
    unlock();
    throw new StoreTrouble('unreadable', { cause });
  }
  return {
    dialect: 'embedded',
    db: new Kysely<Tables>({ dialect: new ImmediateDialect(database), ...(watch ? { log: (event) => watch(event.query.sql, event.query.parameters) } : {}) }),
    claiming: (query) => query,
    lockCafes: async () => undefined,
    lockFreeCafes: async (_tx, ids) => ids,
    mayRetry: (error) => error instanceof Error && 'code' in error && error.code === 'SQLITE_BUSY',
    backup: async (file) => {
      await database.backup(file);
    },
    close: async () => {
      database.close();
      unlock();
    },
  };
};
