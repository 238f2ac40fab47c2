import cron from 'node-cron';
import { join } from 'node:path';
import { pino } from 'pino';
import { assemble, readConfig, type Config, type Parts } from './assemble.ts';
import { readSettings, type Settings } from './settings.ts';
import { createFiles } from './store/files.ts';
import { createIds } from './store/id.ts';
import { housekeep } from './store/housekeeping.ts';
import { openStore } from './store/open.ts';
import { sweepFiles } from './store/sweep-files.ts';
import { StoreTrouble, type Store } from './store/store.ts';
import { runTerminal } from './terminal/run.ts';
import { zoneDataVersion } from './time/wall-time.ts';

const CONFIG = join(import.meta.dirname, '..', 'config');
const LONGEST_STOP = 10_000;

/** One clear message, and no start. */
const refuse = (text: string): never => {
  process.stderr.write(`${text}\n`);
  process.exit(1);
};

const TROUBLES: Readonly<Record<StoreTrouble['trouble'], string>> = {
  'in-use': 'Another grouphand is already using this data folder. Stop it first, or set DATA_DIR to another folder. Nothing was changed.',
  unreachable: 'The database cannot be reached. Check DATABASE_URL or DATA_DIR, and that the server runs. Nothing was changed.',
  unreadable: 'The database cannot be read. Put back a backup, or set DATA_DIR to another folder. Nothing was changed.',
  newer: 'The database was written by a newer grouphand. Use that version or newer. Nothing was changed.',
};

const openOrRefuse = async (settings: Settings): Promise<Store> => {
  try {
    return await openStore(settings.databaseUrl === undefined ? { folder: settings.dataDir } : { url: settings.databaseUrl });
  } catch (error) {
    return error instanceof StoreTrouble ? refuse(TROUBLES[error.trouble]) : refuse(`The database cannot be used: ${error instanceof Error ? error.message : 'unknown'}. Nothing was changed.`);
  }
};

const configOrRefuse = (): Config => {
  try {
    return readConfig(CONFIG);
  } catch (error) {
    return refuse(error instanceof Error ? error.message.replaceAll(CONFIG, 'config') : 'config/ cannot be read.');
  }
};

/** Set by the first signal, whenever it comes; from then on nothing new is begun. */
let asked = false;
let askStop = (): void => undefined;
const stopAsked = new Promise<void>((resolve) => (askStop = resolve));
// A signal to the whole group arrives twice through npm: the second one must not cut the first one short.
for (const signal of ['SIGTERM', 'SIGINT'] as const)
  process.on(signal, () => {
    if (!asked) setTimeout(() => process.exit(1), LONGEST_STOP).unref();
    asked = true;
    askStop();
  });

const read = readSettings(process.env);
const settings = read.ok ? read.settings : refuse(read.problem);
const config = configOrRefuse();
const log = pino({ level: settings.logLevel, base: null }, pino.destination({ fd: 2, sync: true }));
log.info({ zoneData: zoneDataVersion() }, 'starting');
const store = await openOrRefuse(settings);
const ids = createIds();

const files = createFiles(join(settings.dataDir, 'files'));
const parts = { settings, store, config, log, ids, configFolder: CONFIG, assemble: (given: Parts) => assemble({ ...given, files }) };
// The platform's library is large: practice starts without it.
const platform = settings.discord ? await (await import('./discord/run.ts')).runDiscord({ ...parts, discord: settings.discord }) : await runTerminal(parts);

const tickNow = async (): Promise<void> => {
  if (asked) return;
  try {
    await platform.bot.tick(platform.clock.now());
    platform.bot.sender.wake();
  } catch (error) {
    log.error({ err: error }, 'the tick stumbled');
  }
};
const tidy = cron.schedule('17 * * * *', () => housekeep(store, platform.clock.now(), files).catch((error: unknown) => log.error({ err: error }, 'tidying up stumbled')), { noOverlap: true });
const sweep = async (): Promise<void> => {
  try {
    const gone = await sweepFiles(store, files, () => asked);
    if (gone > 0) log.info({ gone }, 'files that nothing names were taken away');
  } catch (error) {
    log.error({ err: error }, 'sweeping files stumbled');
  }
};
let sweeping = sweep();
const daily = cron.schedule('37 4 * * *', () => (sweeping = sweep()), { noOverlap: true });
const job = platform.ticks ? cron.schedule('*/5 * * * * *', tickNow, { noOverlap: true }) : undefined;

await Promise.race([platform.ended, stopAsked]);
// Nothing new is begun, what is under way ends, then the process ends by itself.
await job?.stop();
await tidy.stop();
await daily.stop();
await sweeping;
await platform.close();
await platform.bot.sender.stop();
await store.close();
// All is stored: a connection that will not close holds nobody up.
setTimeout(() => process.exit(), 1000).unref();
