import type { Logger } from 'pino';
import { noteBar } from './cafe/bar-seen.ts';
import { rightsOf } from './cafe/roles.ts';
import { cafeById, cafesById, cafesHere, rolesIn } from './cafe/records.ts';
import type { Here, Pressed, PressRoute, Said, Subject } from './cafe/subject.ts';
import type { Ack, Answer, Incoming } from './chat/incoming.ts';
import { message, type Message } from './chat/message.ts';
import { isDirect } from './chat/who.ts';
import type { Press } from './chat/press.ts';
import { closeDialogue, dialogueOf, openDialogue } from './store/dialogue.ts';
import type { Ids } from './store/id.ts';
import { forgetLook, post, SAID, said as saidMessage } from './store/post.ts';
import type { Store } from './store/store.ts';
import { read, transact } from './store/transact.ts';
import type { Clock } from './time/clock.ts';
import { namedIn, readWaiting, WHICH, whichMessage, writeWaiting, type Waiting } from './which-cafe.ts';
import type { Words } from './words/catalogue.ts';
import { hereOf, shownOn } from './router-here.ts';
import { wordsRouter } from './router-words.ts';

/** Longest text anyone may send us; more is asked to be said shorter, and nothing of it is kept. */
const MOST_TEXT = 1500;

/** An open question is shown again after something else was said, but not one of this morning in the evening. */
const STILL_FRESH = 2 * 3_600_000;

export type RouterNeeds = {
  readonly store: Store;
  readonly words: Words;
  readonly ids: Ids;
  readonly clock: Clock;
  readonly log: Logger;
  readonly subjects: readonly Subject[];
  /** Told when something may have been put into the outbox. */
  readonly wake: () => void;
};

export type Router = {
  /** How a press has to be acknowledged, before anything else; undefined for a button nobody knows. */
  readonly ackOf: (press: Press) => Ack | undefined;
  /** Does what came in asks for. What is returned goes straight back; all else goes through the outbox. */
  readonly take: (incoming: Incoming) => Promise<Answer | undefined>;
};

type Words1 = Extract<Incoming, { kind: 'words' }>;

export const createRouter = (needs: RouterNeeds): Router => {
  const { store, words, ids, clock, log, subjects, wake } = needs;
  const presses = new Map(subjects.flatMap((subject) => (subject.presses ?? []).map((route) => [route.kind, route] as const)));
  const dialogues = new Map(subjects.flatMap((subject) => (subject.dialogues ?? []).map((kind) => [kind.kind, kind] as const)));
  const commands = new Map(subjects.flatMap((subject) => (subject.commands ?? []).map((route) => [route.name, route] as const)));
  const tickMarks = new Map(subjects.flatMap((subject) => (subject.tickMarks ?? []).map((route) => [route.kind, route] as const)));
  const routeWords = wordsRouter(subjects);

  const privately = (here: Here, key: string): Answer => ({ kind: 'private', message: message([words.in(here.locale)(key)]) });

  const mayPress = async (route: PressRoute, incoming: Extract<Incoming, { kind: 'press' | 'answers' }>): Promise<boolean> => {
    if (route.right === 'anyone') return true;
    const { right } = route;
    return read(store, async (tx) => {
      const id = await route.cafe?.(tx, incoming.press);
      const cafe = id === undefined ? undefined : await cafeById(tx, id);
      return cafe !== undefined && cafe.state !== 'gone' && rightsOf(await rolesIn(tx, cafe, incoming.by)).has(right);
    });
  };

  const takePress = async (incoming: Extract<Incoming, { kind: 'press' | 'answers' }>): Promise<Answer> => {
    const { here, shown } = await read(store, async (tx) => ({ here: await hereOf(needs, tx, incoming), shown: await shownOn(tx, incoming.at, incoming.on) }));
    if (incoming.press.kind === WHICH) return takeWhich(here, incoming);
    const route = presses.get(incoming.press.kind);
    if (!route) return privately(here, 'chat.tooOld');
    if (!(await mayPress(route, incoming))) return privately(here, route.right === 'own' ? 'chat.ownersOnly' : route.right === 'visit' ? 'chat.techniciansOnly' : 'chat.barOnly');
    const pressed: Pressed = {
      ...here,
      press: incoming.press,
      ...(incoming.on === undefined ? {} : { on: incoming.on }),
      ...(shown === undefined ? {} : { shown }),
      picked: incoming.kind === 'press' ? (incoming.picked ?? []) : [],
      pickedNames: incoming.kind === 'press' ? (incoming.pickedNames ?? {}) : {},
      answers: incoming.kind === 'answers' ? incoming.answers : {},
      attachments: incoming.kind === 'answers' ? (incoming.attachments ?? []) : [],
    };
    const answer = await route.take(pressed);
    // Answered with something the outbox does not know, it must not be taken for what was shown before.
    if (answer.kind === 'redraw' && shown && !answer.shows) await transact(store, [], (tx) => forgetLook(tx, shown.key));
    return answer;
  };

  const takeCommand = async (incoming: Extract<Incoming, { kind: 'command' }>): Promise<Answer> => {
    const { here, cafes, on } = await read(store, async (tx) => ({
      here: await hereOf(needs, tx, incoming),
      cafes: (await cafesHere(tx, incoming.at, incoming.by.id)).map((cafe) => cafe.id),
      on: await shownOn(tx, incoming.at, incoming.on),
    }));
    const route = commands.get(incoming.name);
    if (!route) return privately(here, 'chat.noCommand');
    const answer = await route.take({ ...here, given: incoming.given, cafes, ...(on === undefined ? {} : { on }) });
    return answer.kind === 'which-cafe' ? { kind: 'private', message: await askWhich(here, cafes, { kind: 'command', name: incoming.name, given: incoming.given }, false) } : answer;
  };

  /** Keeps what was said until it is known which café it is about. */
  const askWhich = (here: Here, cafes: readonly string[], waiting: Waiting, photos: boolean): Promise<Message> =>
    transact(store, [], async (tx) => {
      await openDialogue(tx, ids, here.now, here.at, here.by.id, { kind: WHICH, ref: writeWaiting(waiting), cafe: null });
      return whichMessage(words.in(here.locale), await cafesById(tx, cafes), photos);
    });

  const asWords = (answer: Answer): { readonly message: Message; readonly notify: readonly string[] } | undefined => {
    switch (answer.kind) {
      case 'say':
        return { message: answer.message, notify: answer.notify ?? [] };
      case 'private':
      case 'redraw':
        return { message: answer.message, notify: [] };
      case 'noted':
        return answer.private && { message: answer.private, notify: [] };
      case 'form':
        throw new Error('a form cannot answer words');
    }
  };

  const putAnswers = async (incoming: Incoming, here: Here, messages: readonly Message[]): Promise<void> => {
    await transact(store, [], async (tx) => {
      await tx.insertInto('seen').values({ id: incoming.id, at: here.now }).onConflict((conflict) => conflict.doNothing()).execute();
      for (const [i, each] of messages.entries())
        await post(tx, ids, here.now, { key: `answer.${incoming.id}.${i}`, place: incoming.at, kind: SAID, data: saidMessage(each), priority: 'answer' });
    });
  };

  const lost = (said: Said): Message | undefined => {
    if (!said.addressed) return undefined;
    return message([words.in(said.locale)(said.voice ? 'chat.voice' : said.text === '' && said.attachments.length === 0 ? 'chat.empty' : 'chat.lost')]);
  };

  const takeWords = async (incoming: Words1): Promise<void> => {
    const known = await read(store, async (tx) => {
      if (await tx.selectFrom('seen').select('id').where('id', '=', incoming.id).executeTakeFirst()) return undefined;
      return {
        here: await hereOf(needs, tx, incoming),
        reply: await shownOn(tx, incoming.at, incoming.replyTo),
        house: await cafesHere(tx, incoming.at, incoming.by.id),
        dialogue: await dialogueOf(tx, incoming.at, incoming.by.id),
      };
    });
    if (!known) return;
    const { here, reply, house, dialogue } = known;
    const text = incoming.text.replaceAll('\u0000', '').toWellFormed().trim();
    if (text.length > MOST_TEXT) return putAnswers(incoming, here, incoming.addressed ? [message([words.in(here.locale)('chat.tooLong')])] : []);
    const named = isDirect(incoming.at) && house.length > 1 ? namedIn(text, house) : undefined;
    const cafes = named ? [named.cafe] : house.map(({ id }) => id);
    if (dialogue?.kind === WHICH && named?.text === '') return goOn(incoming, here, named.cafe, readWaiting(dialogue.ref));
    const said: Said = {
      ...here, text: named?.text ?? text, readable: incoming.readable, addressed: incoming.addressed, cafes, voice: incoming.voice ?? false, attachments: incoming.attachments ?? [], ...(reply ? { reply } : {}),
    };
    const kind = dialogue && dialogues.get(dialogue.kind);
    const routed = await routeWords(said, dialogue, kind, text);
    if (routed?.answer.kind === 'which-cafe') return putAnswers(incoming, here, [await askWhich(here, cafes, { kind: 'words', text }, said.attachments.length > 0)]);
    const answer = routed && asWords(routed.answer);
    const shown = routed ? answer?.message : lost(said);
    const stillOpen = await read(store, (tx) => dialogueOf(tx, incoming.at, incoming.by.id));
    const fresh = dialogue !== undefined && here.now - dialogue.asked_at < STILL_FRESH;
    const interrupted = dialogue && kind && fresh && !routed?.byDialogue && stillOpen?.kind === dialogue.kind && stillOpen.ref === dialogue.ref;
    const again = interrupted && (shown || routed) ? await kind.again(dialogue, here) : undefined;
    await putAnswers(incoming, here, [shown, again].filter((each) => each !== undefined));
  };

  /** What waited, for the café it turned out to be about. */
  const takeWaiting = async (here: Here, cafe: string, waiting: Waiting): Promise<Answer | undefined> => {
    await transact(store, [], (tx) => closeDialogue(tx, here.at, WHICH, here.by.id));
    if (waiting.kind === 'command') {
      const answer = await commands.get(waiting.name)?.take({ ...here, given: waiting.given, cafes: [cafe] });
      return answer?.kind === 'which-cafe' ? undefined : answer;
    }
    const said: Said = { ...here, text: waiting.text, readable: true, addressed: true, cafes: [cafe], voice: false, attachments: [] };
    const routed = await routeWords(said, undefined, undefined);
    return routed?.answer.kind === 'which-cafe' ? undefined : routed?.answer;
  };

  /** The café was named in words. */
  const goOn = async (incoming: Words1, here: Here, cafe: string, waiting: Waiting): Promise<void> => {
    const answer = await takeWaiting(here, cafe, waiting);
    const shown = answer && asWords(answer)?.message;
    await putAnswers(incoming, here, shown ? [shown] : []);
  };

  /** The café was picked; only one this person is known in counts. */
  const takeWhich = async (here: Here, incoming: Extract<Incoming, { kind: 'press' | 'answers' }>): Promise<Answer> => {
    const id = (incoming.kind === 'press' ? incoming.picked?.[0] : undefined) ?? incoming.press.ids[0] ?? '';
    const { cafe, dialogue } = await read(store, async (tx) => ({
      cafe: (await cafesHere(tx, incoming.at, incoming.by.id)).find((each) => each.id === id),
      dialogue: await dialogueOf(tx, incoming.at, incoming.by.id),
    }));
    if (!cafe || dialogue?.kind !== WHICH) return privately(here, 'chat.tooOld');
    const answer = await takeWaiting(here, cafe.id, readWaiting(dialogue.ref));
    const shown = answer === undefined || answer.kind === 'form' ? undefined : asWords(answer)?.message;
    return { kind: 'redraw', message: shown ?? message([words.in(here.locale)('chat.which.this', { name: cafe.name })]) };
  };

  const takeTickMark = async (incoming: Extract<Incoming, { kind: 'tick-mark' }>): Promise<void> => {
    const known = await read(store, async (tx) => ({ here: await hereOf(needs, tx, incoming), shown: await shownOn(tx, incoming.at, incoming.on) }));
    const route = known.shown && tickMarks.get(known.shown.kind);
    if (!route || !known.shown) return;
    const answer = await route.take({ ...known.here, shown: known.shown, given: incoming.given });
    const back = answer && asWords(answer);
    await putAnswers(incoming, known.here, back ? [back.message] : []);
  };

  /**
   * Somebody with the bar's role speaks up in a café's channel: kept for their direct messages, once they are answered.
   * Who has no role any more is forgotten before that.
   */
  const noteSeen = async ({ by, at }: Incoming, before: boolean): Promise<void> => {
    if (!isDirect(at) && before === (by.roles.length === 0)) await noteBar(store, by, at, clock.now());
  };

  const routeOne = async (incoming: Incoming): Promise<Answer | undefined> => {
    switch (incoming.kind) {
      case 'press':
      case 'answers':
        return takePress(incoming);
      case 'command':
        return takeCommand(incoming);
      case 'words':
        await takeWords(incoming);
        return undefined;
      case 'tick-mark':
        await takeTickMark(incoming);
        return undefined;
    }
  };

  return {
    ackOf: (press) => (press.kind === WHICH ? 'update' : presses.get(press.kind)?.ack),
    take: async (incoming) => {
      try {
        await noteSeen(incoming, true);
        const answer = await routeOne(incoming);
        await noteSeen(incoming, false);
        return answer;
      } catch (error) {
        log.error({ err: error, kind: incoming.kind, route: 'press' in incoming ? incoming.press.kind : 'name' in incoming ? incoming.name : undefined }, 'a conversation stumbled');
        const sorry = message([words.in(incoming.locale)('chat.stumbled')]);
        if (incoming.kind === 'words') await putAnswers(incoming, { now: clock.now(), event: incoming.id, by: incoming.by, at: incoming.at, locale: 'en' }, [sorry]);
        return incoming.kind === 'words' || incoming.kind === 'tick-mark' ? undefined : { kind: 'private', message: sorry };
      } finally {
        wake();
      }
    },
  };
};
