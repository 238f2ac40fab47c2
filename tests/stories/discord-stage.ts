import { readFileSync } from 'node:fs';
import { basename } from 'node:path';
import { pino } from 'pino';
import { assemble, readConfig } from '../../src/assemble.ts';
import { seedDemo } from '../../src/cafe/demo.ts';
import { readCommands } from '../../src/discord/commands.ts';
import { connect, type Connection } from '../../src/discord/connect.ts';
import { createIds } from '../../src/store/id.ts';
import { transact } from '../../src/store/transact.ts';
import { parseJump } from '../../src/terminal/parse-line.ts';
import { jumpTarget, passTime } from '../../src/terminal/pass-time.ts';
import { readScenario } from '../../src/terminal/scenario.ts';
import { rehearsalClock } from '../../src/time/clock.ts';
import { instant } from '../../src/time/instant.ts';
import { list, SELECTS, text, type Part } from '../platform/double/check-components.ts';
import { openDouble, type Double } from '../platform/double/double.ts';
import type { Answers } from '../platform/double/form-filling.ts';
import type { Place } from '../platform/double/places.ts';
import type { Store } from '../../src/store/store.ts';
import { byAge } from '../../src/discord/snowflake.ts';
import type { OpenForm } from '../platform/double/journal.ts';
import type { Person } from '../platform/double/person.ts';
import type { Channel, Message } from '../platform/double/world.ts';
import { choosersOn, entriesOf, shownLines } from './discord-reader.ts';
import type { Actor, Seen, Stage, Where } from './stage.ts';
import type { StageOptions } from './terminal-stage.ts';

/** What goes wrong on the way: the first answer to every message lost; the line dropped, or the bot started anew, before the n-th act of a person. */
export type Trouble = { readonly loseAnswers?: true; readonly dropBefore?: number; readonly restartBefore?: number };

/** The stage with its insides, for tests that ask the platform itself. */
export type DiscordStage = Stage & {
  readonly double: Double;
  readonly bar: Channel;
  readonly place: Place;
  readonly store: Store;
  readonly who: (key: string) => Person;
  readonly settle: () => Promise<void>;
  readonly connection: () => Connection;
};

const config = readConfig('config');
const commands = readCommands('config/commands.yaml');
const hasty = async () => ({ waitForIdentify: async () => undefined });

/** The n-th try of a message carries the nonce of the first: only what was not heard of before is lost. */
const loseFirstAnswers = (double: Double): void => {
  const known = new Set<unknown>();
  let turn = 0;
  const usual = double.faults.take;
  const take: typeof usual = (route) => {
    const nonce = (double.requests.at(-1)?.body as { nonce?: unknown } | undefined)?.nonce;
    if (route !== 'create_message' || nonce === undefined || known.has(nonce)) return usual(route);
    known.add(nonce);
    double.plant('create_message', { kind: 'lose answer', by: turn++ % 2 === 0 ? '502' : 'reset' });
    return usual(route);
  };
  Object.assign(double.faults, { take });
};

/** The same story told through the real client, on a double of the platform. */
export const discordStage = async ({ store, start, empty }: StageOptions, trouble: Trouble = {}): Promise<DiscordStage> => {
  const scenario = readScenario('config/rehearsal/lantern-street.yaml');
  const clock = rehearsalClock(instant(Date.parse(start ?? scenario.start)), 0);
  const double = await openDouble({ clock });
  const place = double.place('Café Lantern Street', 'Ola');
  const bar = place.channel('bar');
  const barRole = place.role('bar', { mentionable: true });
  const people: Readonly<Record<string, Person>> = {
    ola: place.owner, ana: place.person('Ana'), ben: place.person('Ben'), ...Object.fromEntries(['Mia', 'Sam', 'Lina', 'Pablo'].map((name) => [name.toLowerCase(), place.person(name, [barRole])])),
  };
  const who = (key: string): Person => {
    const found = people[key];
    if (!found) throw new Error(`nobody is called ${key}`);
    return found;
  };
  const firm = double.place('The firm', 'Foreman');
  const workshop = firm.channel('workshop');
  firm.join(who('ana'));
  if (trouble.loseAnswers) loseFirstAnswers(double);
  const stumbles: string[] = [];
  const log = pino({ level: 'warn' }, { write: (line: string) => void ((JSON.parse(line) as { level: number }).level >= 50 && stumbles.push(line)) });

  const join = async (): Promise<Connection> => {
    const connection = await connect({ token: double.token, api: double.api, store, config, commands, clock, log, ids: createIds(), assemble, told: () => undefined, tuning: { throttler: hasty } });
    await Promise.race([connection.ready, connection.ended.then((ending) => Promise.reject(new Error(ending?.text ?? 'closed')))]);
    return connection;
  };
  let now = await join();
  if (!empty)
    await transact(store, [], (tx) =>
      seedDemo(tx, createIds(), clock.now(), now.bot.onLive, { space: place.guild.id, channel: bar.id, barRole: barRole.id, person: (key) => who(key).id }),
    );

  /** Everything said to the bot has been taken, answered and shown. */
  const settle = async (): Promise<void> => {
    for (let before = -1, happened = -2; before !== happened; happened = double.journal.entries.filter(({ kind }) => kind !== 'bot beat').length) {
      before = happened;
      await double.gateway.heard();
      await now.idle();
      await now.bot.sender.drain();
    }
  };
  await settle();

  const restart = async (): Promise<void> => {
    await now.close();
    now = await join();
    await settle();
  };

  let acts = 0;
  const act = async (work: () => Promise<void> | void): Promise<void> => {
    acts++;
    if (trouble.restartBefore === acts) await restart();
    const mark = double.journal.mark();
    if (trouble.dropBefore === acts) {
      double.gateway.drop();
      await double.journal.until(mark, 'the line to drop', (entry): entry is typeof entry & { kind: 'bot disconnected' } => entry.kind === 'bot disconnected');
    }
    await work();
    if (trouble.dropBefore === acts) await double.journal.until(mark, 'the line to come back', (entry): entry is typeof entry & { kind: 'bot resumed' } => entry.kind === 'bot resumed');
    await settle();
  };

  const keyOfUser = (id: string | undefined): string | undefined => Object.values(people).find((person) => person.id === id)?.name;
  const placeName = (channelId: string): string => (channelId === bar.id ? '#bar' : (keyOfUser(double.world.channels.get(channelId)?.recipientId) ?? `#${double.world.channels.get(channelId)?.name ?? 'gone'}`));
  const ours = (): readonly Message[] =>
    [...double.world.messages.values()].flatMap((messages) => [...messages.values()]).filter(({ authorId }) => authorId === double.world.bot.userId).sort((a, b) => byAge(a.id, b.id));
  const seenAs = (message: Message): Seen => {
    const only = keyOfUser(message.onlyFor);
    return {
      id: message.id, place: placeName(message.channelId), ...(only === undefined ? {} : { only }),
      lines: shownLines(double.world, message),
      buttons: choosersOn(double.world, place, message).map(({ label }) => label),
      files: message.attachments.map(({ filename }) => filename),
    };
  };

  const actor = (key: string): Actor => {
    const person = who(key);
    const where = (at: Where): Channel => (at === 'bar' ? bar : at === 'workshop' ? workshop : person.direct());
    const visible = (message: Message): boolean => (message.onlyFor === undefined || message.onlyFor === person.id) && [undefined, person.id].includes(double.world.channels.get(message.channelId)?.recipientId);
    const on = (fits: (seen: Seen) => boolean, what: string): Message => {
      const found = ours().findLast((message) => visible(message) && fits(seenAs(message)));
      if (!found) throw new Error(`${key} sees no ${what}. Seen:\n${ours().map((message) => seenAs(message).lines.join(' / ')).join('\n')}`);
      return found;
    };
    const holding = (words: string) => (each: Seen): boolean => each.lines.join('\n').includes(words);

    const choose = async (message: Message, labels: readonly string[]): Promise<void> => {
      const all = choosersOn(double.world, place, message);
      const chosen = labels.map((label) => all.find((each) => each.label === label));
      const [first] = chosen;
      if (!first) throw new Error(`nothing is called ${labels.join(', ')}`);
      const name = text(first.part['custom_id']);
      const asked = first.value === undefined ? person.press(message, name) : person.pick(message, chosen.flatMap((each) => (each?.value === undefined ? [] : [each.value])), { which: name });
      if ((await asked.acknowledged()) === 'form') forms.set(key, await asked.form());
    };

    return {
      says: (words, at = 'bar') => act(() => void person.say(where(at), at === 'direct' ? words : `<@${double.world.bot.userId}> ${words}`)),
      replies: (to, words) => act(() => {
        const target = on(holding(to), `message "${to}"`);
        person.say({ id: target.channelId }, words, { replyTo: target });
      }),
      presses: (label, holds) => act(() => choose(on((each) => each.buttons.includes(label) && (holds === undefined || holding(holds)(each)), `button "${label}"`), [label])),
      picks: (...labels) => act(() => choose(on((each) => labels.every((label) => each.buttons.includes(label)), `list with "${labels.join(', ')}"`), labels)),
      fills: (...answers) => act(async () => {
        const form = forms.get(key);
        if (!form) throw new Error(`no form is open for ${key}`);
        forms.delete(key);
        await person.submit(form, filled(form, answers)).acknowledged();
      }),
      commands: (name, at = 'bar') => act(async () => {
        const [command = '', ...rest] = name.split(' ');
        const option = double.world.commands.get('global')?.find((each) => each.name === command)?.['options'];
        const given = rest.length > 0 ? { [text(list(option)[0]?.['name'])]: rest.join(' ') } : {};
        await person.command(where(at), command, given).acknowledged();
      }),
      ticks: (words, given = true) => act(() => {
        const target = on(holding(words), `message "${words}"`);
        if (given) person.react(target, '✅');
        else person.unreact(target, '✅');
      }),
    };
  };
  const forms = new Map<string, OpenForm>();

  /** Answers typed one after the other, put into the fields of a form: numbers for what is picked from a list. */
  const filled = (form: OpenForm, answers: readonly string[]): Answers =>
    Object.fromEntries(
      form.components.flatMap((label, i): (readonly [string, Answers[string]])[] => {
        const answer = answers[i] ?? '';
        const part = label['component'] as Part;
        if (answer === '') return [];
        if (SELECTS.includes(part['type'])) return [[text(part['custom_id']), answer.split(/[ ,]+/).map((number) => entriesOf(double.world, place, part)[Number(number) - 1]?.value ?? '')]];
        if (part['type'] === 19) return [[text(part['custom_id']), [{ name: basename(answer), bytes: readFileSync(answer), type: 'image/png' }]]];
        return [[text(part['custom_id']), answer]];
      }),
    );

  return {
    name: 'discord',
    double, bar, place, store, who, settle,
    connection: () => now,
    person: actor,
    until: async (when) => {
      const to = jumpTarget(parseJump(when), clock.now(), scenario.zone);
      if (to === undefined) throw new Error(`no such time: ${when}`);
      await passTime(store, clock, now.bot, to);
      await settle();
    },
    messages: async () => ours().map(seenAs),
    shut: async (key) => void (who(key).user.door = 'closed'),
    restart,
    close: async () => {
      await now.close();
      const problems = double.problems().map(({ kind, detail }) => `${kind}: ${detail}`);
      await double.close();
      await store.close();
      // Everything a story asks of the platform has to be as the platform takes it.
      if (problems.length > 0 || stumbles.length > 0) throw new Error(`not as it should be:\n${[...problems, ...stumbles].join('\n')}`);
    },
  };
};
