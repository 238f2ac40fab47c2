import pino from 'pino';
import { expect } from 'vitest';
import { createCafe } from '../../src/cafe/cafe.ts';
import { readRequests, requestReader } from '../../src/cafe/requests.ts';
import { readCountries } from '../../src/cafe/countries.ts';
import type { CafeNeeds, Tonight } from '../../src/cafe/needs.ts';
import type { Answer, Incoming } from '../../src/chat/incoming.ts';
import { formProblems, problemsOf } from '../../src/chat/limits.ts';
import { isChoice, plain, type Form, type Message } from '../../src/chat/message.ts';
import type { Press } from '../../src/chat/press.ts';
import { channel, direct, isDirect, personId, type Person, type PlaceId } from '../../src/chat/who.ts';
import { createTick } from '../../src/delivery/tick.ts';
import { createRouter } from '../../src/router.ts';
import { createIds } from '../../src/store/id.ts';
import { openStore } from '../../src/store/open.ts';
import { SAID } from '../../src/store/post.ts';
import type { Store, Tx } from '../../src/store/store.ts';
import { read, transact } from '../../src/store/transact.ts';
import { instant, type Instant } from '../../src/time/instant.ts';
import { createWords, readTexts } from '../../src/words/catalogue.ts';

const LOG = pino({ level: 'silent' });
const WORDS = createWords(readTexts('config/words'));
const REQUESTS = requestReader(readRequests('config/requests'));
const COUNTRIES = readCountries('config/countries.yaml');

/** The people of the stories. Roles hold in the server alone. */
const PEOPLE: Readonly<Record<string, { readonly name: string; readonly roles: readonly string[]; readonly manages: boolean }>> = {
  ola: { name: 'Ola', roles: [], manages: true },
  olaAtBar: { name: 'Ola', roles: ['bar'], manages: true },
  mia: { name: 'Mia', roles: ['bar'], manages: false },
  sam: { name: 'Sam', roles: ['bar'], manages: false },
  ana: { name: 'Ana', roles: [], manages: false },
  stranger: { name: 'Nadia', roles: [], manages: false },
  till: { name: 'Till', roles: ['bar'], manages: false },
};

export const BAR = channel('bar');
export const START = instant(Date.parse('2027-03-09T13:02:00Z'));

export const linesOf = (message: Message): readonly string[] => [...(message.title === undefined ? [] : [plain(message.title)]), ...message.lines.map((each) => plain(each.text))];

export const labelsOf = (message: Message): readonly string[] => (message.rows ?? []).flatMap((row) => (isChoice(row) ? [`<${row.ask}>`] : row.map(({ label }) => label)));

/** The house rules for everything shown: four lines, 64 characters, labels of 20, and nothing a chat could not show. */
export const checkStyle = (message: Message): void => {
  expect(problemsOf(message)).toEqual([]);
  expect(message.lines.length, linesOf(message).join(' / ')).toBeLessThanOrEqual(4);
  for (const line of linesOf(message)) {
    expect(line.length, line).toBeLessThanOrEqual(64);
    expect(line).not.toMatch(/!|\{|\}|undefined|null/);
  }
  for (const row of message.rows ?? []) if (!isChoice(row)) for (const { label } of row) expect(label.length, label).toBeLessThanOrEqual(20);
  expect(new Set(linesOf(message)).size, 'no line twice').toBe(linesOf(message).length);
};

export type World = {
  readonly store: Store;
  readonly needs: CafeNeeds;
  readonly live: string[];
  readonly changed: string[];
  readonly now: () => Instant;
  readonly pass: (ms: number) => Promise<void>;
  /** A command, and what only that person sees. */
  readonly command: (who: string, name: string, at?: PlaceId) => Promise<Message>;
  readonly tap: (who: string, on: Message, label: string, at?: PlaceId) => Promise<Message>;
  /** As `tap`, for a button behind which a form opens. */
  readonly open: (who: string, on: Message, label: string, at?: PlaceId) => Promise<Form>;
  readonly pick: (who: string, on: Message, ask: string, picked: Readonly<Record<string, string>>, at?: PlaceId) => Promise<Message>;
  readonly fill: (who: string, form: Form, answers: Readonly<Record<string, string>>, at?: PlaceId) => Promise<Message>;
  /** Opens the form of a button and sends one line. */
  readonly write: (who: string, on: Message, label: string, text: string, at?: PlaceId) => Promise<Message>;
  readonly say: (who: string, text: string, at?: PlaceId, more?: { readonly addressed?: boolean; readonly replyTo?: string }) => Promise<readonly Message[]>;
  readonly raw: (incoming: Partial<Incoming> & { readonly kind: Incoming['kind'] }, who: string, at?: PlaceId) => Promise<Answer | undefined>;
  /** What waits in the outbox beside answers, as it would be shown now; marked as sent. */
  readonly posted: () => Promise<readonly { readonly place: string; readonly message: Message; readonly id: string; readonly kind: string; readonly notify: string }[]>;
  readonly tx: <T>(work: (tx: Tx) => Promise<T>) => Promise<T>;
};

export const openWorld = async (more: Partial<CafeNeeds> = {}): Promise<World> => {
  const store = more.store ?? (await openStore({}));
  const ids = createIds();
  const words = WORDS;
  const live: string[] = [];
  const changed: string[] = [];
  let now = START;
  let events = 0;
  const tonight = async (tx: Tx, id: string): Promise<Tonight | undefined> => {
    const cafe = await tx.selectFrom('cafe').select('hours').where('id', '=', id).executeTakeFirstOrThrow();
    return cafe.hours === null ? undefined : { at: instant(Date.parse('2027-03-09T21:00:00Z')), jobs: ['backflush', 'brush seals', 'soak baskets', 'wands and tray'] };
  };
  const needs: CafeNeeds = {
    store, words, ids, countries: COUNTRIES, tonight, requests: REQUESTS,
    onLive: async (_tx, id) => void live.push(id),
    onChanged: async (_tx, id) => void changed.push(id),
    ...more,
  };
  const cafe = createCafe(needs);
  const router = createRouter({ store, words, ids, clock: { now: () => now }, log: LOG, subjects: [cafe], wake: () => undefined });
  const tick = createTick({ store, log: LOG, timers: new Map((cafe.timers ?? []).map((kind) => [kind.kind, kind])), fireDuties: async () => 0 });

  const person = (who: string, at: PlaceId): Person => {
    const found = PEOPLE[who] ?? { name: who, roles: [], manages: false };
    const id = personId(who === 'olaAtBar' ? 'ola' : who);
    return isDirect(at) ? { id, name: found.name, roles: [], manages: false } : { id, ...found };
  };
  const raw: World['raw'] = async (incoming, who, at = BAR) =>
    router.take({ id: `e${++events}`, by: person(who, at), at, ...(isDirect(at) ? {} : { space: 'lantern' }), ...incoming } as Incoming);

  /** Buttons nobody answers; the routine's own is answered elsewhere. */
  const deadPresses = (message: Message): readonly string[] =>
    (message.rows ?? [])
      .flatMap((row) => (isChoice(row) ? [row.press] : row.flatMap((each) => ('press' in each ? [each.press] : []))))
      .filter((press) => router.ackOf(press) === undefined && press.kind !== 'routine.jobs' && more.helpButtons === undefined)
      .map(({ kind }) => kind);

  const shown = (answer: Answer | undefined): Message => {
    if (!answer || answer.kind === 'form') throw new Error(`no message but ${answer?.kind ?? 'nothing'}`);
    const message = answer.kind === 'noted' ? answer.private : answer.message;
    if (!message) throw new Error('nothing shown');
    checkStyle(message);
    expect(deadPresses(message)).toEqual([]);
    return message;
  };
  const pressOf = (on: Message, label: string): Press => {
    const found = (on.rows ?? []).flatMap((row) => (isChoice(row) ? [{ label: `<${row.ask}>`, press: row.press }] : row.flatMap((each) => ('press' in each ? [each] : [])))).find((each) => each.label === label);
    if (!found) throw new Error(`no "${label}" among ${labelsOf(on).join(', ')}`);
    return found.press;
  };
  const open: World['open'] = async (who, on, label, at) => {
    const press = pressOf(on, label);
    expect(router.ackOf(press)).toBe('form');
    const answer = await raw({ kind: 'press', press }, who, at);
    if (answer?.kind !== 'form') throw new Error(`no form but ${JSON.stringify(answer)}`);
    expect(formProblems(answer.form)).toEqual([]);
    return answer.form;
  };
  const fill: World['fill'] = async (who, form, answers, at) => shown(await raw({ kind: 'answers', press: form.submit, answers: Object.fromEntries(Object.entries(answers).map(([key, text]) => [key, [text]])) }, who, at));

  const render = async (row: { kind: string; data: string; cafe: string | null; place: string }): Promise<Message | undefined> => {
    const data = JSON.parse(row.data) as unknown;
    if (row.kind === SAID) return (data as { message: Message }).message;
    const kind = (cafe.notices ?? []).find((each) => each.kind === row.kind);
    return kind?.show({ data, cafe: row.cafe, place: row.place as PlaceId, now });
  };

  return {
    store, needs, live, changed, raw, open, fill,
    now: () => now,
    pass: async (ms) => {
      now = instant(now + ms);
      await tick(now);
    },
    command: async (who, name, at) => shown(await raw({ kind: 'command', name, given: {} }, who, at)),
    tap: async (who, on, label, at) => {
      const press = pressOf(on, label);
      expect(router.ackOf(press), label).not.toBe('form');
      return shown(await raw({ kind: 'press', press, on: 'm' }, who, at));
    },
    pick: async (who, on, ask, picked, at) => shown(await raw({ kind: 'press', press: pressOf(on, `<${ask}>`), on: 'm', picked: Object.keys(picked), pickedNames: picked }, who, at)),
    write: async (who, on, label, text, at) => fill(who, await open(who, on, label, at), { text }, at),
    say: async (who, text, at = BAR, { addressed = true, replyTo } = {}) => {
      const id = `e${++events}`;
      await router.take({ id, kind: 'words', by: person(who, at), at, text, readable: true, addressed, ...(replyTo === undefined ? {} : { replyTo }), ...(isDirect(at) ? {} : { space: 'lantern' }) });
      const rows = await read(store, (tx) => tx.selectFrom('outbox').select('data').where('key', 'like', `answer.${id}.%`).orderBy('id').execute());
      const messages = rows.map(({ data }) => (JSON.parse(data) as { message: Message }).message);
      messages.forEach(checkStyle);
      expect(messages.flatMap(deadPresses)).toEqual([]);
      return messages;
    },
    posted: async () => {
      const rows = await read(store, (tx) => tx.selectFrom('outbox').selectAll().where('state', '=', 'ready').where('key', 'not like', 'answer.%').orderBy('id').execute());
      const all = [];
      for (const row of rows) {
        const message = await render(row);
        await transact(store, [], (tx) => tx.updateTable('outbox').set(message ? { state: 'sent', message_id: row.id, shown_version: row.version } : { state: 'dropped' }).where('id', '=', row.id).execute());
        if (!message) continue;
        checkStyle(message);
        expect(deadPresses(message)).toEqual([]);
        all.push({ place: row.place, message, id: row.id, kind: row.kind, notify: row.notify });
      }
      return all;
    },
    tx: (work) => transact(store, [], work),
  };
};

export const directTo = (who: string): PlaceId => direct(personId(who));
