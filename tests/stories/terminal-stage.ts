import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pino } from 'pino';
import { assemble, readConfig } from '../../src/assemble.ts';
import { seedDemo } from '../../src/cafe/demo.ts';
import { plain } from '../../src/chat/message.ts';
import { markShown } from '../../src/delivery/outbox.ts';
import { createIds } from '../../src/store/id.ts';
import type { Store } from '../../src/store/store.ts';
import { read, transact } from '../../src/store/transact.ts';
import { createScreen } from '../../src/terminal/chat.ts';
import { createHistory } from '../../src/terminal/history.ts';
import { parseJump } from '../../src/terminal/parse-line.ts';
import { jumpTarget, passTime } from '../../src/terminal/pass-time.ts';
import { choosersOf } from '../../src/terminal/render.ts';
import { placeName, readScenario, type Scenario } from '../../src/terminal/scenario.ts';
import { createTerminal } from '../../src/terminal/terminal.ts';
import { rehearsalClock } from '../../src/time/clock.ts';
import { instant } from '../../src/time/instant.ts';
import { ChatRefused } from '../../src/chat/port.ts';
import { direct, personId, placeId } from '../../src/chat/who.ts';
import type { Message } from '../../src/chat/message.ts';
import type { Words } from '../../src/words/catalogue.ts';
import type { Actor, Seen, Stage } from './stage.ts';
import { voiceProblems } from './voice.ts';

export type StageOptions = {
  readonly store: Store;
  /** `2027-03-09T20:58:30Z`; the scenario's own start when left out. */
  readonly start?: string;
  /** No café yet: the story sets one up. */
  readonly empty?: true;
  /** Other words than those of config/words. */
  readonly words?: Words;
  /** Messages are not held against the voice: the words are not meant for people. */
  readonly deaf?: true;
};

const log = pino({ level: process.env['LOG_LEVEL'] ?? 'silent' }, pino.destination({ fd: 2, sync: true }));
const config = readConfig('config');

/** The story told through the terminal chat, typed line by typed line. */
export const terminalStage = async ({ store, start, empty, words, deaf }: StageOptions): Promise<Stage> => {
  const own = readScenario('config/rehearsal/lantern-street.yaml');
  const scenario: Scenario = { ...own, people: { ...own.people, ben: { name: 'Ben', roles: [], manages: false } }, channels: { ...own.channels, workshop: { name: 'workshop', space: 'firm' } } };
  const shut = new Set<string>();
  const folder = mkdtempSync(join(tmpdir(), 'stage-'));
  const clock = rehearsalClock(instant(Date.parse(start ?? scenario.start)), 0);
  const printed: string[] = [];
  const unkind: string[] = [];
  const files = new Map<string, string[]>();

  const build = () => {
    const ids = createIds();
    const kept = createHistory(store, ids);
    const heard = (message: Message): void => void unkind.push(...voiceProblems(message).map((problem) => `${problem} in: ${message.lines.map((line) => plain(line.text)).join(' | ')}`));
    const history: typeof kept = {
      ...kept,
      keep: (entry) => {
        heard(entry.message);
        return kept.keep(entry);
      },
      change: (id, message) => {
        heard(message);
        return kept.change(id, message);
      },
    };
    const screen = createScreen({ scenario, history, clock, print: (lines) => printed.push(...lines), folder });
    const chat = {
      ...screen.chat,
      send: async (...given: Parameters<typeof screen.chat.send>) => {
        if (shut.has(given[0])) throw new ChatRefused({ why: 'direct-closed' });
        const id = await screen.chat.send(...given);
        files.set(id, [...(given[1].files ?? []), ...(given[1].pictures ?? [])].map(({ name }) => name));
        return id;
      },
    };
    const bot = assemble({ store, chat, clock, log, ids, config: words ? { ...config, words } : config });
    const jump = async (by: ReturnType<typeof parseJump>): Promise<string> => {
      const to = jumpTarget(by, clock.now(), scenario.zone);
      if (to === undefined) throw new Error('no such time');
      await passTime(store, clock, bot, to);
      return '';
    };
    const terminal = createTerminal({ scenario, router: bot.router, screen, history, clock, ids, print: (lines) => printed.push(...lines), jump, help: [], shown: (key, version) => markShown(store, key, version) });
    return { ids, history, bot, terminal };
  };
  let now = build();
  if (!empty) await transact(store, [], (tx) => seedDemo(tx, now.ids, clock.now(), now.bot.onLive));

  const type = async (line: string): Promise<void> => {
    await now.terminal.line(line);
    await now.bot.sender.drain();
  };

  const messageOf = (row: { id: string; place: string; only: string | null; message: string }): Seen & { readonly tag?: string } => {
    const message = JSON.parse(row.message) as Message;
    const name = placeName(scenario, placeId(row.place));
    const only = row.only === null ? undefined : (scenario.people[row.only]?.name ?? row.only);
    return {
      id: row.id, place: name, ...(only === undefined ? {} : { only }),
      lines: [...(message.title === undefined ? [] : [plain(message.title)]), ...message.lines.map((line) => plain(line.text))],
      buttons: choosersOf(message, scenario).map(({ label }) => label),
      files: files.get(row.id) ?? [],
    };
  };
  const rows = () => read(store, (tx) => tx.selectFrom('terminal_message').selectAll().orderBy('id').execute());

  const actor = (key: string): Actor => {
    const mine = (each: { only: string | null; place: string }): boolean => (each.only === null || each.only === key) && (!each.place.startsWith('p.') || each.place === `p.${key}`);
    const on = async (fits: (seen: Seen) => boolean, what: string) => {
      const found = (await rows()).findLast((row) => mine(row) && fits(messageOf(row)));
      if (!found) throw new Error(`${key} sees no ${what}. Printed:\n${printed.slice(-60).join('\n')}`);
      return { row: found, seen: messageOf(found) };
    };
    const be = (): Promise<void> => type(`as ${key}`);
    return {
      says: async (text, where = 'bar') => {
        await be();
        await type(`in ${where}`);
        await type(text);
      },
      replies: async (to, text) => {
        await be();
        const { row } = await on((each) => each.lines.join('\n').includes(to), `message "${to}"`);
        await type(`reply ${row.tag}: ${text}`);
      },
      presses: async (label, holding) => {
        await be();
        const { row, seen } = await on((each) => each.buttons.includes(label) && (holding === undefined || each.lines.join('\n').includes(holding)), `button "${label}"`);
        await type(`${row.tag}${seen.buttons.indexOf(label) + 1}`);
      },
      picks: async (...labels) => {
        await be();
        const { row, seen } = await on((each) => labels.every((label) => each.buttons.includes(label)), `list with "${labels.join(', ')}"`);
        await type(`${row.tag}${labels.map((label) => seen.buttons.indexOf(label) + 1).join(',')}`);
      },
      fills: async (...answers) => {
        await be();
        for (const answer of answers) await type(answer);
      },
      commands: async (name, where = 'bar') => {
        await be();
        await type(`in ${where}`);
        await type(`/${name}`);
      },
      ticks: async (text, given = true) => {
        await be();
        const { row } = await on((each) => each.lines.join('\n').includes(text), `message "${text}"`);
        await type(`${given ? 'tick' : 'untick'} ${row.tag}`);
      },
    };
  };

  return {
    name: 'terminal',
    person: actor,
    until: (when) => type(`jump ${when}`),
    messages: async () => (await rows()).map(messageOf),
    shut: async (key) => void shut.add(direct(personId(key))),
    restart: async () => {
      await now.bot.sender.stop();
      now = build();
      await now.bot.resume();
      await now.bot.sender.drain();
    },
    close: async () => {
      await now.bot.sender.stop();
      await store.close();
      // Every message of every story is held against the voice.
      if (unkind.length > 0 && !deaf) throw new Error(`messages against the voice:\n${[...new Set(unkind)].join('\n')}`);
    },
  };
};
