import type { Kysely, SelectQueryBuilder, Transaction } from 'kysely';
import type { Tables } from './tables.ts';

/** Queries inside the one open transaction. */
export type Tx = Transaction<Tables>;

/** A database of ours: the four ways in which the two kinds differ, and no more. */
export type Store = {
  readonly dialect: 'embedded' | 'server';
  readonly db: Kysely<Tables>;
  /** Skips rows another process has claimed, where several processes share the database. */
  readonly claiming: <TB extends keyof Tables, O>(query: SelectQueryBuilder<Tables, TB, O>) => SelectQueryBuilder<Tables, TB, O>;
  /** Takes these cafés for the transaction, waiting for them, in id order. */
  readonly lockCafes: (tx: Tx, ids: readonly string[]) => Promise<void>;
  /** Takes those of these cafés that nobody holds, and tells which. */
  readonly lockFreeCafes: (tx: Tx, ids: readonly string[]) => Promise<readonly string[]>;
  readonly mayRetry: (error: unknown) => boolean;
  readonly backup: (file: string) => Promise<void>;
  readonly close: () => Promise<void>;
};

export type Trouble = 'in-use' | 'unreachable' | 'unreadable' | 'newer';

/** Why the database cannot be used, in one of the words `settings` has a sentence for. */
export class StoreTrouble extends Error {
  readonly trouble: Trouble;
  constructor(trouble: Trouble, options?: ErrorOptions) {
    super(`the database: ${trouble}`, options);
    this.trouble = trouble;
  }
}
