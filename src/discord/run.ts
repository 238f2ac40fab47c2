import { join } from 'node:path';
import type { Logger } from 'pino';
import type { assemble, Config } from '../assemble.ts';
import type { Settings } from '../settings.ts';
import type { Ids } from '../store/id.ts';
import type { Store } from '../store/store.ts';
import type { Platform } from '../terminal/run.ts';
import { rehearsalClock, systemClock } from '../time/clock.ts';
import { readCommands } from './commands.ts';
import { connect } from './connect.ts';

export type DiscordRun = {
  readonly discord: NonNullable<Settings['discord']>;
  readonly settings: Settings;
  readonly store: Store;
  readonly config: Config;
  readonly log: Logger;
  readonly ids: Ids;
  readonly configFolder: string;
  readonly assemble: typeof assemble;
};

/** The chat platform: the bot for real people. When it cannot go on it says why and sets the code the process ends with. */
export const runDiscord = async ({ discord, settings, store, config, log, ids, configFolder, assemble: put }: DiscordRun): Promise<Platform> => {
  const clock = settings.rehearsal ? rehearsalClock(settings.rehearsal.start, settings.rehearsal.speed) : systemClock;
  const commands = readCommands(join(configFolder, 'commands.yaml'));
  const connection = await connect({
    token: discord.token, api: discord.api, store, config, commands, clock, log, ids, assemble: put,
    told: (line) => {
      log.info(line);
      process.stdout.write(`${line}\n`);
    },
  });
  const ended = connection.ended.then((ending) => {
    if (!ending) return;
    process.stderr.write(`${ending.text}\n`);
    process.exitCode = ending.code;
  });
  return { bot: connection.bot, clock, ticks: true, ended, close: connection.close };
};
