import type { Store } from '../../src/store/store.ts';
import { databases } from '../store/databases.ts';
import { discordStage } from './discord-stage.ts';
import type { Stage } from './stage.ts';
import { terminalStage, type StageOptions } from './terminal-stage.ts';

/** A chat on a database: every story is told on all of them. */
export type Setting = { readonly name: string; readonly open: (options?: Omit<StageOptions, 'store'>) => Promise<Stage> };

const chats = [
  { name: 'terminal', stage: terminalStage },
  { name: 'platform', stage: (options: StageOptions) => discordStage(options) },
] as const;

export const settings: readonly Setting[] = chats.flatMap((chat) => databases.map((database) => ({ name: `${chat.name}, ${database.name}`, open: async (options = {}) => chat.stage({ ...options, store: await database.open() }) })));

/** The same with the store in hand, for stories that look into it or begin from what it holds. */
export type StoredSetting = { readonly name: string; readonly open: () => Promise<{ readonly store: Store; readonly stage: Stage }> };

export const storedSettings: readonly StoredSetting[] = chats.flatMap((chat) =>
  databases.map((database) => ({
    name: `${chat.name}, ${database.name}`,
    open: async () => {
      const store = await database.open();
      return { store, stage: await chat.stage({ store }) };
    },
  })),
);
