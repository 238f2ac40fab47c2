import { pino } from 'pino';
import { assemble, readConfig, type Bot } from '../../../src/assemble.ts';
import { seedDemo } from '../../../src/cafe/demo.ts';
import type { Answer, Attachment, Incoming } from '../../../src/chat/incoming.ts';
import { formProblems } from '../../../src/chat/limits.ts';
import { isChoice, plain, type Form, type Message } from '../../../src/chat/message.ts';
import { ChatRefused, type Chat } from '../../../src/chat/port.ts';
import type { Press } from '../../../src/chat/press.ts';
import { channel, direct, isDirect, personId, type PlaceId } from '../../../src/chat/who.ts';
import { markShown } from '../../../src/delivery/outbox.ts';
import { insertCase } from '../../../src/faults/records.ts';
import type { Verdict } from '../../../src/faults/verdict.ts';
import type { Files } from '../../../src/store/files.ts';
import { createIds } from '../../../src/store/id.ts';
import type { Store, Tx } from '../../../src/store/store.ts';
import { read, transact } from '../../../src/store/transact.ts';
import { parseJump } from '../../../src/terminal/parse-line.ts';
import { jumpTarget, passTime } from '../../../src/terminal/pass-time.ts';
import { rehearsalClock } from '../../../src/time/clock.ts';
import { instant, type Instant } from '../../../src/time/instant.ts';
import { voiceProblems } from '../../stories/voice.ts';

export const BAR = channel('bar');

type Shown = { readonly id: string; readonly place: PlaceId; readonly only?: string; message: Message; files: readonly string[] };
const ROLES: Readonly<Record<string, readonly string[]>> = { mia: ['bar'], sam: ['bar'] };
const config = readConfig('config');

const textOf = (message: Message): string => message.lines.map((line) => plain(line.text)).join('\n');
const chooserOf = (message: Message, label: string): { readonly press: Press; readonly value?: string } | undefined => {
  for (const row of message.rows ?? []) {
    if (isChoice(row)) {
      const option = typeof row.from === 'string' ? undefined : row.from.find((each) => each.label.includes(label));
      if (option) return { press: row.press, value: option.value };
    } else {
      const found = row.find((button) => button.label === label || button.label.startsWith(label));
      if (found && 'press' in found) return { press: found.press };
    }
  }
  return undefined;
};

/** A verdict as the questions give it, for a valve that does not shut. */
export const verdictFor = (cause: string, more: Partial<Verdict> = {}): Verdict => ({
  kind: 'book',
  choice: { kind: 'book', cost: 0, meanwhile: 'goes-on' as Verdict['choice']['meanwhile'], steps: [], ending: 'book', bookedFirst: false, cures: 0 },
  options: [], likely: [{ cause, chance: 0.8 }, { cause: 'something-else', chance: 0.2 }], reasons: [], turning: null,
  caution: { level: 0 } as unknown as Verdict['caution'], open: [], money: { known: false, missing: [] }, misfit: null as unknown as Verdict['misfit'], ...more,
});

export type World = {
  readonly store: Store;
  readonly bot: Bot;
  readonly cafe: string;
  readonly now: () => Instant;
  /** Places that refuse what is sent there. */
  readonly shut: Set<PlaceId>;
  readonly until: (when: string) => Promise<void>;
  readonly tx: <T>(work: (tx: Tx) => Promise<T>) => Promise<T>;
  /** Everything shown, oldest first, in its present state. */
  readonly all: () => readonly { readonly place: PlaceId; readonly only?: string; readonly lines: readonly string[]; readonly labels: readonly string[]; readonly files: readonly string[] }[];
  /** The newest message at a place that holds the text. */
  readonly seen: (place: PlaceId, text: string) => { readonly lines: readonly string[]; readonly labels: readonly string[]; readonly rows: readonly (readonly string[])[]; readonly files: readonly string[] };
  readonly count: (place: PlaceId, text: string) => number;
  readonly press: (who: string, label: string, holding?: string) => Promise<string>;
  /** Presses one of the buttons on the newest messages somebody sees, drawn by `below`, and fills a form it opens. What was pressed; undefined: nothing to press. */
  readonly pressAny: (who: string, below: (n: number) => number, words: readonly string[]) => Promise<string | undefined>;
  readonly fill: (who: string, answers: Readonly<Record<string, string>>, attachments?: readonly Attachment[]) => Promise<string>;
  readonly say: (who: string, text: string, place?: PlaceId, attachments?: readonly Attachment[]) => Promise<void>;
  readonly command: (who: string, name: string, place?: PlaceId) => Promise<string>;
  readonly link: (name: string, place: PlaceId, more?: { readonly zone?: string; readonly cafe?: string; readonly telephone?: string; readonly position?: number; readonly person?: string }) => Promise<string>;
  /** A case with its verdict, and the message of it in the bar. */
  readonly verdict: (verdict: Verdict, more?: { readonly symptom?: string; readonly group?: number; readonly cafe?: string; readonly complaint?: string; readonly answers?: Readonly<Record<string, string>> }) => Promise<string>;
  /** Presses a button by what it carries, on nothing that is shown. */
  readonly raw: (who: string, press: Press, place?: PlaceId) => Promise<Answer | undefined>;
};

/** A café, its technicians and a chat that refuses where it is told to; every message is held against the voice. */
export const openWorld = async (store: Store, start = '2027-03-09T09:05:00Z', files?: Files): Promise<World> => {
  const clock = rehearsalClock(instant(Date.parse(start)), 0);
  const ids = createIds();
  const shown: Shown[] = [];
  const shut = new Set<PlaceId>();
  const unkind: string[] = [];
  let sent = 0;
  const hear = (message: Message): void => {
    const problems = voiceProblems(message);
    if (problems.length > 0) unkind.push(`${problems.join('; ')} in: ${textOf(message)}`);
  };
  const keep = (place: PlaceId, message: Message, only?: string): Shown => {
    hear(message);
    const entry: Shown = { id: `m${++sent}`, place, message, files: [...(message.files ?? []), ...(message.pictures ?? [])].map(({ name }) => name), ...(only === undefined ? {} : { only }) };
    shown.push(entry);
    return entry;
  };
  const nonces = new Map<string, string>();
  const chat: Chat = {
    nonceWindow: 120_000,
    send: async (place, message, { nonce }) => {
      if (shut.has(place)) throw new ChatRefused({ why: isDirect(place) ? 'direct-closed' : 'no-permission' });
      const known = nonces.get(`${place} ${nonce}`);
      if (known !== undefined) return known;
      const { id } = keep(place, message);
      nonces.set(`${place} ${nonce}`, id);
      return id;
    },
    edit: async (_place, id, message) => {
      hear(message);
      const entry = shown.find((each) => each.id === id);
      if (!entry) throw new ChatRefused({ why: 'message-gone' });
      entry.message = message;
    },
    remove: async () => undefined,
    find: async () => ({ kind: 'not-found' }),
  };
  const stumbles: string[] = [];
  const log = pino({ level: 'error' }, { write: (line: string) => void stumbles.push(line) });
  const bot = assemble({ store, chat, clock, log, ids, config, ...(files ? { files } : {}) });
  const cafe = (await transact(store, [], (tx) => seedDemo(tx, ids, clock.now(), bot.onLive))) ?? '';
  const forms = new Map<string, { readonly form: Form; readonly on: string; readonly at: PlaceId }>();

  const settle = async (): Promise<void> => {
    await bot.sender.drain();
    if (stumbles.length > 0) throw new Error(stumbles.join('\n'));
    if (unkind.length > 0) throw new Error(`against the voice: ${unkind.join('\n')}`);
  };
  const by = (who: string, at: PlaceId): Incoming['by'] => ({ id: personId(who), name: who.charAt(0).toUpperCase() + who.slice(1), roles: isDirect(at) ? [] : (ROLES[who] ?? []), manages: false });

  const back = async (who: string, answer: Answer | undefined, at: PlaceId, on: string | undefined): Promise<string> => {
    const texts: string[] = [];
    const whisper = (message: Message): void => void texts.push(textOf(keep(at, message, who).message));
    if (answer?.kind === 'form') {
      if (formProblems(answer.form).length > 0) throw new Error(formProblems(answer.form).join('; '));
      forms.set(who, { form: answer.form, on: on ?? '', at });
    } else if (answer?.kind === 'redraw') {
      const entry = shown.find(({ id }) => id === on);
      hear(answer.message);
      if (entry) entry.message = answer.message;
      else whisper(answer.message);
      texts.push(textOf(answer.message));
      if (answer.shows) await markShown(store, answer.shows.key, answer.shows.version);
      if (answer.private) whisper(answer.private);
    } else if (answer?.kind === 'noted') {
      if (answer.private) whisper(answer.private);
    } else if (answer?.kind === 'private') whisper(answer.message);
    else if (answer) texts.push(textOf(keep(at, answer.message).message));
    await settle();
    return texts.join('\n');
  };

  const visible = (who: string, entry: Shown): boolean => (entry.only === undefined || entry.only === who) && (!isDirect(entry.place) || entry.place === direct(personId(who)));
  const dump = (): string => shown.map((entry) => `-- ${entry.place}${entry.only ? ` only ${entry.only}` : ''}\n${textOf(entry.message)}\n   [${labelsOf(entry.message).join('] [')}]`).join('\n');
  const labelsOf = (message: Message): readonly string[] => (message.rows ?? []).flatMap((row) => (isChoice(row) ? (typeof row.from === 'string' ? [] : row.from.map(({ label }) => label)) : row.map(({ label }) => label)));
  const rowsOf = (message: Message): readonly (readonly string[])[] => (message.rows ?? []).map((row) => labelsOf({ lines: [], rows: [row] }));
  const looked = (entry: Shown) => ({ place: entry.place, ...(entry.only === undefined ? {} : { only: entry.only }), lines: entry.message.lines.map((line) => plain(line.text)), labels: labelsOf(entry.message), rows: rowsOf(entry.message), files: entry.files });

  return {
    store, bot, cafe, shut,
    now: () => clock.now(),
    until: async (when) => {
      const to = jumpTarget(parseJump(when), clock.now(), 'Europe/Madrid');
      if (to === undefined) throw new Error(`no such time: ${when}`);
      await passTime(store, clock, bot, to);
      await settle();
    },
    tx: (work) => read(store, work),
    all: () => shown.map(looked),
    seen: (place, text) => {
      const found = shown.findLast((entry) => entry.place === place && textOf(entry.message).includes(text));
      if (!found) throw new Error(`nothing at ${place} holds "${text}". Shown:\n${dump()}`);
      return looked(found);
    },
    count: (place, text) => shown.filter((entry) => entry.place === place && textOf(entry.message).includes(text)).length,
    press: async (who, label, holding) => {
      const entry = shown.findLast((each) => visible(who, each) && (holding === undefined || textOf(each.message).includes(holding)) && chooserOf(each.message, label) !== undefined);
      const chooser = entry && chooserOf(entry.message, label);
      if (!entry || !chooser) throw new Error(`${who} sees no "${label}". Shown:\n${dump()}`);
      const answer = await bot.router.take({
        kind: 'press', id: ids(clock.now()), by: by(who, entry.place), at: entry.place, press: chooser.press, on: entry.id, ...(isDirect(entry.place) ? {} : { space: 'lantern' }), ...(chooser.value === undefined ? {} : { picked: [chooser.value] }),
      });
      return back(who, answer, entry.place, entry.id);
    },
    pressAny: async (who, below, words) => {
      const all = shown.filter((each) => visible(who, each) && (each.message.rows ?? []).length > 0).slice(-5).flatMap((entry) => (entry.message.rows ?? []).flatMap((row) =>
        isChoice(row) ? (typeof row.from === 'string' ? [] : row.from.map(({ label, value }) => ({ entry, label, press: row.press, picked: [value] }))) : row.flatMap((each) => ('press' in each ? [{ entry, label: each.label, press: each.press, picked: [] }] : []))));
      const chosen = all[below(all.length)];
      if (!chosen) return undefined;
      const { entry, label, press, picked } = chosen;
      const told = await back(who, await bot.router.take({ kind: 'press', id: ids(clock.now()), by: by(who, entry.place), at: entry.place, press, on: entry.id, picked, ...(isDirect(entry.place) ? {} : { space: 'lantern' }) }), entry.place, entry.id);
      const open = forms.get(who);
      if (!open) return `${who}: ${label} -> ${told}`;
      forms.delete(who);
      const answerTo = ({ answer }: Form['questions'][number]): readonly string[] => (answer.kind === 'words' ? [words[below(words.length)] ?? ''] : answer.kind === 'pick' && typeof answer.from !== 'string' ? [answer.from[below(answer.from.length)]?.value ?? ''] : []);
      const given = Object.fromEntries(open.form.questions.map((question) => [question.key, answerTo(question)]));
      return `${who}: ${label} ${JSON.stringify(given)} -> ${await back(who, await bot.router.take({ kind: 'answers', id: ids(clock.now()), by: by(who, open.at), at: open.at, press: open.form.submit, on: open.on, answers: given, attachments: [] }), open.at, open.on)}`;
    },
    fill: async (who, answers, attachments = []) => {
      const open = forms.get(who);
      if (!open) throw new Error(`no form is open for ${who}`);
      forms.delete(who);
      const given = Object.fromEntries(Object.entries(answers).map(([key, value]) => [key, [value]]));
      const unknown = Object.keys(answers).filter((key) => !open.form.questions.some((question) => question.key === key));
      if (unknown.length > 0) throw new Error(`the form does not ask for ${unknown.join(', ')}`);
      const answer = await bot.router.take({ kind: 'answers', id: ids(clock.now()), by: by(who, open.at), at: open.at, press: open.form.submit, on: open.on, answers: given, attachments });
      return back(who, answer, open.at, open.on);
    },
    say: async (who, text, place = BAR, attachments = []) => {
      await bot.router.take({ kind: 'words', id: ids(clock.now()), by: by(who, place), at: place, text, readable: true, addressed: true, attachments });
      await settle();
    },
    command: async (who, name, place = direct(personId(who))) => back(who, await bot.router.take({ kind: 'command', id: ids(clock.now()), by: by(who, place), at: place, name, given: {} }), place, undefined),
    raw: async (who, given, place = direct(personId(who))) => {
      const answer = await bot.router.take({ kind: 'press', id: ids(clock.now()), by: by(who, place), at: place, press: given });
      await settle();
      return answer;
    },
    link: async (name, place, more = {}) => {
      const id = ids(clock.now());
      await transact(store, [], (tx) => tx.insertInto('technician').values({ id, cafe: more.cafe ?? cafe, position: more.position ?? 2, name, telephone: more.telephone ?? '555 0177', person: more.person ?? name.toLowerCase(), place, zone: more.zone ?? 'Europe/Madrid', language: 'en', state: 'linked', code: null, code_until: null, linked_at: clock.now(), created_at: clock.now() }).execute());
      return id;
    },
    verdict: async (verdict, more = {}) => {
      const id = ids(clock.now());
      const home = more.cafe ?? cafe;
      await transact(store, [home], async (tx) => {
        const machine = await tx.selectFrom('machine').select('id').where('cafe', '=', home).executeTakeFirstOrThrow();
        await insertCase(tx, {
          id, cafe: home, machine: machine.id, group_number: more.group ?? 2, group_asked: 1, step: 'verdict', state: 'open', symptom: more.symptom ?? 'drip-at-rest', nearest: '[]', complaint: more.complaint ?? 'right one keeps dripping', asker: 'mia', asker_name: 'Mia',
          place: BAR, shown: '[]', readings: JSON.stringify(Object.entries(more.answers ?? {}).map(([question, answer]) => ({ kind: 'answer', question, answer, by: 'Mia', at: clock.now() }))), question: null, hold: 0, verdict: JSON.stringify(verdict), photos: '[]', machine_state: null, opened_at: clock.now(), updated_at: clock.now(), closed_at: null, rev: 0,
        } as Parameters<typeof insertCase>[1]);
      });
      return id;
    },
  };
};
