import { AsyncLocalStorage } from 'node:async_hooks';

const inside = new AsyncLocalStorage<{ open: boolean }>();

/** True while the caller runs inside a transaction: no network, file or chat there. */
export const insideTransaction = (): boolean => inside.getStore()?.open ?? false;

export const runInside = async <T>(work: () => Promise<T>): Promise<T> => {
  const mark = { open: true };
  try {
    return await inside.run(mark, work);
  } finally {
    mark.open = false;
  }
};

/** Throws when a query is about to leave the open transaction, or a second one is opened within it. */
export const refuseInside = (): void => {
  if (insideTransaction()) throw new Error('a query outside the open transaction: use the tx that was given');
};

/** Throws when something slow or outside is about to happen inside a transaction. */
export const assertOutside = (what: string): void => {
  if (insideTransaction()) throw new Error(`${what} inside a transaction`);
};
