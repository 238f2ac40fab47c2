import { join } from 'node:path';
import { createInterface } from 'node:readline';
import type { Logger } from 'pino';
import type { assemble, Bot, Config } from '../assemble.ts';
import { seedDemo } from '../cafe/demo.ts';
import { markShown } from '../delivery/outbox.ts';
import type { Settings } from '../settings.ts';
import type { Ids } from '../store/id.ts';
import type { Store } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { rehearsalClock, type Clock } from '../time/clock.ts';
import { instant, type Instant } from '../time/instant.ts';
import { dateAndTime } from '../words/format.ts';
import { createScreen } from './chat.ts';
import { createHistory } from './history.ts';
import type { Jump } from './parse-line.ts';
import { readScenario, type Scenario } from './scenario.ts';
import { createTerminal } from './terminal.ts';
import { HELP } from './help.ts';
import { jumpTarget, passTime } from './pass-time.ts';

export type Platform = {
  readonly bot: Bot;
  readonly clock: Clock;
  /** Does time pass by itself here? */
  readonly ticks: boolean;
  readonly close: () => Promise<void>;
  /** Resolves when the people are done; rejects never. */
  readonly ended: Promise<void>;
};

export type TerminalRun = { readonly settings: Settings; readonly store: Store; readonly config: Config; readonly log: Logger; readonly ids: Ids; readonly configFolder: string; readonly assemble: typeof assemble };

const CLOCK_NOTE = 'rehearsal.clock';

const storedClock = async (store: Store): Promise<number> => {
  const row = await read(store, (tx) => tx.selectFrom('note').select('value').where('key', '=', CLOCK_NOTE).executeTakeFirst());
  return Number(row?.value ?? 0);
};

const keepClock = async (store: Store, now: Instant): Promise<void> => {
  await transact(store, [], (tx) =>
    tx.insertInto('note').values({ key: CLOCK_NOTE, value: String(now) }).onConflict((conflict) => conflict.column('key').doUpdateSet({ value: String(now) })).execute(),
  );
};

const printer = (redrawPrompt: () => void) => (lines: readonly string[]): void => {
  process.stdout.write(`${lines.join('\n')}\n`);
  redrawPrompt();
};

const greeting = (scenario: Scenario, now: Instant): readonly string[] => [
  `Practice at an invented café. It is ${dateAndTime(now, { locale: 'en', zone: scenario.zone })} there.`,
  'Type as you would in a chat. "help" shows how, "quit" leaves.',
];

/** The chat in the terminal: people of an invented café, a practice clock, numbered choices. */
export const runTerminal = async ({ settings, store, config, log, ids, configFolder, assemble: put }: TerminalRun): Promise<Platform> => {
  const scenario = readScenario(join(configFolder, 'rehearsal', 'lantern-street.yaml'));
  const typing = process.stdin.isTTY === true;
  const start = settings.rehearsal?.start ?? instant(Date.parse(scenario.start));
  const speed = typing ? (settings.rehearsal?.speed ?? 1) : 0;
  const clock = rehearsalClock(instant(Math.max(start, await storedClock(store))), speed);
  const lines = createInterface({ input: process.stdin, ...(typing ? { output: process.stdout } : {}), terminal: typing, crlfDelay: Infinity });
  const print = printer(() => typing && lines.prompt(true));
  const history = createHistory(store, ids);
  const screen = createScreen({ scenario, history, clock, print, folder: settings.dataDir });
  const bot = put({ store, chat: screen.chat, clock, log, ids, config });
  await bot.resume();
  await transact(store, [], (tx) => seedDemo(tx, ids, clock.now(), bot.onLive));

  const jump = async (by: Jump): Promise<string> => {
    const to = jumpTarget(by, clock.now(), scenario.zone);
    if (to === undefined) return 'Say how far: "jump 30m", "jump 2h", "jump 22:00", "jump tomorrow 7:30".';
    await passTime(store, clock, bot, to);
    await keepClock(store, clock.now());
    return `It is ${dateAndTime(clock.now(), { locale: 'en', zone: scenario.zone })} now.`;
  };
  const terminal = createTerminal({ scenario, router: bot.router, screen, history, clock, ids, print, jump, help: HELP, shown: (key, version) => markShown(store, key, version) });

  print(greeting(scenario, clock.now()));
  if (!typing) {
    await bot.tick(clock.now());
    await bot.sender.drain();
  }
  const oneLine = async (typed: string): Promise<boolean> => {
    if (!typing && typed.trim() !== '') process.stdout.write(`\n${terminal.prompt()}${typed}\n`);
    const goOn = await terminal.line(typed);
    await bot.sender.drain();
    await keepClock(store, clock.now());
    return goOn;
  };
  const ended = (async () => {
    if (typing) {
      lines.setPrompt(terminal.prompt());
      lines.prompt();
    }
    for await (const typed of lines) {
      if (!(await oneLine(typed))) break;
      if (typing) {
        lines.setPrompt(terminal.prompt());
        lines.prompt();
      }
    }
  })();
  return {
    bot, clock, ticks: typing, ended,
    close: async () => {
      lines.close();
      await keepClock(store, clock.now());
    },
  };
};
