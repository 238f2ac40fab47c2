import { readFileSync, statSync } from 'node:fs';
import { basename, extname } from 'node:path';
import type { Answer, Attachment, Incoming } from '../chat/incoming.ts';
import type { Form, Message } from '../chat/message.ts';
import type { Press } from '../chat/press.ts';
import { channel, direct, isDirect, personId, type Person, type PlaceId } from '../chat/who.ts';
import type { Router } from '../router.ts';
import type { Ids } from '../store/id.ts';
import type { Clock } from '../time/clock.ts';
import type { Screen } from './chat.ts';
import { askForm, type FormAnswer } from './form.ts';
import type { Entry, History } from './history.ts';
import { parseLine, type Jump } from './parse-line.ts';
import { choosersOf, type Chooser } from './render.ts';
import { personIn, spaceAt, type Scenario } from './scenario.ts';

export type TerminalNeeds = {
  readonly scenario: Scenario;
  readonly router: Router;
  readonly screen: Screen;
  readonly history: History;
  readonly clock: Clock;
  readonly ids: Ids;
  readonly print: (lines: readonly string[]) => void;
  /** Moves the practice clock, doing everything that falls due on the way. Undefined: the clock cannot be moved. */
  readonly jump: ((by: Jump) => Promise<string>) | undefined;
  readonly help: readonly string[];
  /** Told after a message changed on a press was shown. */
  readonly shown: (key: string, version: number) => Promise<void>;
};

export type Terminal = {
  /** Takes one typed line and returns when it has been answered. False: the person wants to leave. */
  readonly line: (typed: string) => Promise<boolean>;
  readonly prompt: () => string;
};

const PHOTO_KINDS: Readonly<Record<string, string>> = { '.png': 'image/png', '.jpg': 'image/jpeg', '.jpeg': 'image/jpeg', '.webp': 'image/webp', '.pdf': 'application/pdf' };
const MOST_PHOTO = 10 * 1024 * 1024;

const attachmentAt = (path: string): Attachment | undefined => {
  const kind = PHOTO_KINDS[extname(path).toLowerCase()];
  const size = statSync(path, { throwIfNoEntry: false })?.size;
  if (kind === undefined || size === undefined || size > MOST_PHOTO) return undefined;
  return { name: basename(path), kind, size, fetch: async () => readFileSync(path) };
};

export const createTerminal = (needs: TerminalNeeds): Terminal => {
  const { scenario, router, screen, history, clock, ids, print } = needs;
  let speaker = scenario.speaker;
  let place: PlaceId = channel(Object.keys(scenario.channels)[0] ?? 'bar');
  let form: { readonly ask: ReturnType<typeof askForm>; readonly form: Form; readonly on: string; readonly at: PlaceId } | undefined;

  const person = (): Person => personIn(scenario, speaker) ?? { id: personId(speaker), name: speaker, roles: [], manages: false };
  const asSeenAt = (at: PlaceId): Person => (isDirect(at) ? { ...person(), roles: [], manages: false } : person());
  const common = (at: PlaceId) => ({ id: `t${ids(clock.now())}`, by: asSeenAt(at), at, ...(isDirect(at) ? {} : { space: spaceAt(scenario, at) }) });

  const showForm = (): void => {
    if (form) print(form.ask.lines());
  };

  const back = async (answer: Answer | undefined, at: PlaceId, on: string | undefined): Promise<void> => {
    if (!answer) return;
    const whisper = async (message: Message): Promise<void> => {
      await screen.whisper(person().id, person().name, at, message, ids(clock.now()));
    };
    switch (answer.kind) {
      case 'redraw':
        if (on === undefined) await whisper(answer.message);
        else await screen.change(on, answer.message);
        if (answer.shows) await needs.shown(answer.shows.key, answer.shows.version);
        if (answer.private) await whisper(answer.private);
        return;
      case 'noted':
        if (answer.private) await whisper(answer.private);
        return;
      case 'private':
        return whisper(answer.message);
      case 'say':
        await screen.chat.send(at, answer.message, { nonce: ids(clock.now()) });
        return;
      case 'form':
        form = { ask: askForm(answer.form, scenario), form: answer.form, on: on ?? '', at };
        return showForm();
    }
  };

  const give = async (incoming: Incoming, on?: string): Promise<void> => back(await router.take(incoming), incoming.at, on);

  const isHidden = (entry: Entry): boolean => (entry.only !== null && entry.only !== person().id) || (isDirect(entry.place) && entry.place !== direct(person().id));

  const canChoose = (entry: Entry): boolean => (entry.message.rows ?? []).length > 0 && !isHidden(entry);

  /** Without a letter: the newest message where the speaker is, else the newest anywhere. */
  const targetOf = async (tag: string | undefined): Promise<Entry | undefined> =>
    tag === undefined
      ? ((await history.newest((entry) => entry.place === place && canChoose(entry))) ?? history.newest(canChoose))
      : history.byTag(tag);

  const choose = async (tag: string | undefined, numbers: readonly number[]): Promise<void> => {
    const entry = await targetOf(tag);
    if (!entry) return print([tag === undefined ? 'There is nothing to choose right now.' : `There is no message [${tag}].`]);
    if (isHidden(entry)) return print([`That one is for somebody else. Type "as ${entry.only ?? entry.place.slice(2)}" to speak as them.`]);
    const all = choosersOf(entry.message, scenario);
    const picked = numbers.map((number) => all[number - 1]);
    const [first] = picked;
    if (!first || picked.some((each) => each === undefined)) return print([`Message [${entry.tag}] has choices 1 to ${all.length}.`]);
    await pressOn(entry, first, picked as readonly Chooser[]);
  };

  const pressOn = async (entry: Entry, first: Chooser, picked: readonly Chooser[]): Promise<void> => {
    const values = picked.flatMap(({ value }) => (value === undefined ? [] : [value]));
    const names = Object.fromEntries(picked.flatMap(({ value, label }) => (value === undefined ? [] : [[value, label] as const])));
    const press: Press = first.press;
    await give({ ...common(entry.place), kind: 'press', press, on: entry.id, ...(values.length > 0 ? { picked: values, pickedNames: names } : {}) }, entry.id);
  };

  const speakAs = (who: string): void => {
    const key = Object.keys(scenario.people).find((each) => each === who || scenario.people[each]?.name.toLowerCase() === who);
    if (key === undefined) return print([`I know ${Object.keys(scenario.people).join(', ')}.`]);
    speaker = key;
    const usual = scenario.people[key]?.place;
    place = usual === 'direct' ? direct(personId(key)) : isDirect(place) ? channel(Object.keys(scenario.channels)[0] ?? 'bar') : place;
    print([`You speak as ${person().name}${isDirect(place) ? ', in direct messages with the bot' : ''}.`]);
  };

  const goTo = (where: string): void => {
    if (where === 'direct') place = direct(person().id);
    else if (scenario.channels[where]) place = channel(where);
    else return print([`I know ${Object.keys(scenario.channels).map((each) => `#${each}`).join(', ')} and "in direct".`]);
    print([isDirect(place) ? 'You write to the bot directly.' : `You write in #${where}.`]);
  };

  const say = async (text: string, more: { readonly replyTo?: string; readonly at?: PlaceId; readonly attachments?: readonly Attachment[] } = {}): Promise<void> => {
    const at = more.at ?? place;
    await give({
      ...common(at), kind: 'words', text, readable: true, addressed: true,
      ...(more.replyTo === undefined ? {} : { replyTo: more.replyTo }),
      ...(more.attachments === undefined ? {} : { attachments: more.attachments }),
    });
  };

  const reply = async (tag: string | undefined, text: string): Promise<void> => {
    const entry = tag === undefined ? await history.newest((each) => each.only === null) : await history.byTag(tag);
    if (!entry || isHidden(entry)) return print(['I do not see that message from here.']);
    await say(text, { replyTo: entry.id, at: entry.place });
  };

  const tickMark = async (tag: string | undefined, given: boolean): Promise<void> => {
    const entry = await targetOf(tag);
    if (entry && !isHidden(entry)) await give({ ...common(entry.place), kind: 'tick-mark', on: entry.id, given });
  };

  const answerForm = async (typed: string): Promise<void> => {
    if (!form) return;
    const open = form;
    const result: FormAnswer = open.ask.answer(typed, attachmentAt);
    if (result.kind === 'again') return print([result.problem, ...open.ask.lines()]);
    if (result.kind === 'next') return showForm();
    form = undefined;
    if (result.kind === 'left') return print(['Left. Nothing was changed; press the button again to carry on.']);
    await give({ ...common(open.at), kind: 'answers', press: open.form.submit, on: open.on, answers: result.answers, attachments: result.attachments }, open.on === '' ? undefined : open.on);
  };

  const act = async (typed: string): Promise<boolean> => {
    const meaning = parseLine(typed);
    if (form && (meaning.kind === 'say' || meaning.kind === 'nothing' || meaning.kind === 'choose' || meaning.kind === 'photo')) return answerForm(typed.trim()).then(() => true);
    switch (meaning.kind) {
      case 'nothing':
        return true;
      case 'quit':
        return false;
      case 'help':
        print(needs.help);
        return true;
      case 'as':
        speakAs(meaning.who);
        return true;
      case 'in':
        goTo(meaning.where);
        return true;
      case 'jump':
        print([needs.jump ? await needs.jump(meaning.by) : 'The clock is the real one here; it cannot be moved.']);
        return true;
      case 'choose':
        await choose(meaning.tag, meaning.numbers);
        return true;
      case 'reply':
        await reply(meaning.tag, meaning.text);
        return true;
      case 'tick-mark':
        await tickMark(meaning.tag, meaning.given);
        return true;
      case 'photo': {
        const attachment = attachmentAt(meaning.path);
        if (attachment) await say(meaning.text, { attachments: [attachment] });
        else print([`I cannot read a photo at ${meaning.path}. It takes png, jpg or webp up to 10 MB.`]);
        return true;
      }
      case 'command':
        await give({ ...common(place), kind: 'command', name: meaning.name, given: meaning.rest === '' ? {} : { text: meaning.rest } });
        return true;
      case 'say':
        await say(meaning.text);
        return true;
    }
  };

  return { line: act, prompt: () => `${person().name}${isDirect(place) ? ' to the bot' : ` in #${place.slice(2)}`}> ` };
};
