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
