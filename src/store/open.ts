import { openEmbedded } from './embedded.ts';
import { migrate } from './migrate.ts';
import type { Store } from './store.ts';

/** Where the data lives: a PostgreSQL address, a folder, or memory when neither is given. `watch` is told every query of an embedded one. */
export type StoreSettings = { readonly url?: string; readonly folder?: string; readonly watch?: (query: string, parameters: readonly unknown[]) => void };

/** Opens and brings up to date. Throws StoreTrouble with nothing changed when it cannot. */
export const openStore = async ({ url, folder, watch }: StoreSettings): Promise<Store> => {
  const store = url === undefined ? openEmbedded(folder, watch) : await (await import('./server.ts')).openServer(url);
  try {
    await migrate(store);
    return store;
  } catch (error) {
    await store.close();
    throw error;
  }
};
