import { cafeById, cafesById } from '../cafe/records.ts';
import { mayIn } from '../cafe/rights.ts';
import { WHICH_CAFE, type CommandRoute, type Here, type Pressed, type PressRoute, type Said, type WhichCafe, type WordsRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, line, message, type Button, type Message, type Option } from '../chat/message.ts';
import { pagedOptions } from '../chat/pages.ts';
import { press, type Press } from '../chat/press.ts';
import { readReply } from '../routine/reply.ts';
import type { Tx } from '../store/store.ts';
import { read } from '../store/transact.ts';
import { minutes } from '../time/instant.ts';
import { listed } from '../words/format.ts';
import { firstMachine, type Desk, type Looked, type Room } from './card-desk.ts';
import { to } from './card-gate-views.ts';
import { openRuns } from './card-records.ts';
import { readingMessage } from './card-reading-view.ts';
import { isTypedAnswer, namedCards, readCardAsk, type CardNames, type CardPhrases } from './card-words.ts';
import { cools } from './job-card.ts';

export type Reading = { readonly presses: readonly PressRoute[]; readonly words: readonly WordsRoute[]; readonly commands: readonly CommandRoute[] };

/** So long after a press a typed "done" is likely meant for the card. */
const AT_THE_CARD = minutes(30);

/** Looking cards up: for everyone of the café, with nothing to answer and nothing begun. */
export const createReading = (desk: Desk): Reading => {
  const { store, words, book, lexicons } = desk.needs;

  const split = (text: string): readonly string[] => text.split(',').map((each) => each.trim()).filter((each) => each !== '');
  const languagesOf = (locale: string): readonly string[] => [...new Set([words.nearest(locale), 'en'])];
  const phrasesIn = (locale: string): CardPhrases => {
    const say = words.in(locale);
    return { how: split(say('cards.words.how')), what: split(say('cards.words.what')), filler: split(say('cards.words.filler')) };
  };
  const namesIn = (locale: string, jobs: readonly string[]): readonly CardNames[] => jobs.map((job) => ({ job, names: split(words.in(locale)(`cards.${job}.names`)) }));

  const roomFor = async (tx: Tx, cafe: string, here: Here): Promise<Room | undefined> => {
    const machine = await firstMachine(tx, cafe);
    return machine === undefined ? undefined : desk.enter(tx, cafe, machine, here.by);
  };
  const lookAt = (room: Room, job: string, here: Here): Looked | undefined => desk.look(room, { cafe: room.cafe.id, machine: room.machine.id, job, group: null, caseId: null }, here.by, here.now);

  /** Cards that this machine can have; what is not known of it may be there. */
  const cardsFor = (room: Room, here: Here): readonly Looked[] => [...book.cards.keys()].flatMap((job) => {
    const looked = lookAt(room, job, here);
    return looked && looked.gate.kind !== 'not-here' ? [looked] : [];
  });

  const listMessage = (locale: string, room: Room, all: readonly Looked[], page: number): Message => {
    const say = words.in(locale);
    const options: readonly Option[] = all.map(({ card }) => ({ value: card.job, label: say(`cards.${card.job}.title`), hint: say('cards.list.hint', { minutes: card.minutes, soak: card.soak, state: cools(card) ? 'cold' : 'hot' }) }));
    const paged = pagedOptions(options, page, { earlier: say('cards.button.earlier'), more: say('cards.button.more') });
    return message([say('cards.list')], { ask: say('cards.list.ask'), press: press('card.pick', room.cafe.id), from: paged });
  };

  /** What a card is, with the ways into it. */
  const overview = (locale: string, looked: Looked): Message => {
    const { say, reader } = desk.show(looked.cafe, locale);
    const { card, ref } = looked;
    const tools = card.tools.map((tool) => say(`cards.tool.${tool}`));
    const owner = looked.isOwner ? [[button(say('cards.button.marks'), press('card.marks', ref.cafe, card.job))]] : [];
    return message(
      [
        line(say('cards.what', { what: say(`cards.${card.job}.what`) }), 'strong'),
        say('cards.overview', { minutes: card.minutes, soak: card.soak, state: cools(card) ? 'cold' : card.parts[0]?.block === 'cold' ? 'off' : card.parts[0]?.block === 'hot' ? 'hot' : 'any' }),
        ...toolLines(say('cards.tools', { tools: tools.length === 0 ? 'none' : listed(tools, reader.locale) })),
      ],
      [button(say('cards.button.read'), press('card.read', ref.cafe, card.job)), button(say('cards.button.start'), press('card.start', ref.cafe, card.job, '-', '-'), 'main')],
      ...owner,
    );
  };

  const toolLines = (text: string): readonly string[] => {
    const out: string[] = [];
    for (const word of text.split(' ')) {
      const last = out.at(-1);
      if (last !== undefined && `${last} ${word}`.length <= 64) out[out.length - 1] = `${last} ${word}`;
      else out.push(word);
    }
    return out;
  };

  const pick = async (pressed: Pressed): Promise<Answer> => {
    const [cafeId = ''] = pressed.press.ids;
    const [value = ''] = pressed.picked;
    return read(store, async (tx): Promise<Answer> => {
      const room = await roomFor(tx, cafeId, pressed);
      if (!room) return { kind: 'redraw', message: message([words.in(pressed.locale)('cards.no-machine')]) };
      if (value.startsWith('page.')) return { kind: 'redraw', message: listMessage(pressed.locale, room, cardsFor(room, pressed), Number(value.slice(5))) };
      const looked = lookAt(room, value, pressed);
      return { kind: 'redraw', message: looked ? overview(pressed.locale, looked) : message([words.in(pressed.locale)('cards.none')]) };
    });
  };

  const page = (kind: 'private' | 'redraw') => async (pressed: Pressed): Promise<Answer> => {
    const [cafeId = '', job = '', at = '0'] = pressed.press.ids;
    const shown = await read(store, async (tx) => {
      const room = await roomFor(tx, cafeId, pressed);
      const looked = room && lookAt(room, job, pressed);
      return looked && readingMessage(desk.show(looked.cafe, pressed.locale), looked.card, await desk.placeOf(tx, looked.cafe, looked.machine), cafeId, Number(at) || 0);
    });
    return { kind, message: shown ?? message([words.in(pressed.locale)('cards.none')]) };
  };

  const listFor = async (here: Here, cafes: readonly string[], text: string): Promise<Message> =>
    read(store, async (tx) => {
      const say = words.in(here.locale);
      const found = await cafesById(tx, cafes);
      const mine: string[] = [];
      for (const cafe of found) if (await mayIn(tx, cafe.id, here.by, 'see')) mine.push(cafe.id);
      const [first] = mine;
      if (first === undefined) return message([say(found.length === 0 ? 'cards.no-cafe' : 'chat.barOnly')]);
      if (mine.length > 1) return message([say('cards.which-cafe')], found.filter(({ id }) => mine.includes(id)).slice(0, 5).map(({ id, name }) => button(Array.from(name).slice(0, 20).join(''), press('card.list', id))));
      const room = await roomFor(tx, first, here);
      if (!room) return message([say('cards.no-machine')]);
      const all = cardsFor(room, here);
      const named = namedCards(text, namesIn(here.locale, all.map(({ card }) => card.job)), phrasesIn(here.locale).filler);
      const some = named.length > 0 ? all.filter(({ card }) => named.includes(card.job)) : all;
      const [only] = some;
      return some.length === 1 && only ? overview(here.locale, only) : listMessage(here.locale, room, some, 0);
    });

  const list = async (pressed: Pressed): Promise<Answer> => ({ kind: 'redraw', message: await listFor(pressed, [pressed.press.ids[0] ?? ''], '') });

  /** "what is backflush": one line, and whether it is for the one who asks. What is pressed is then for them alone. */
  const explained = (said: Said, looked: Looked): Message => {
    const { say } = desk.show(looked.cafe, said.locale);
    const { card, ref, hands } = looked;
    const first = line(say('cards.what', { what: say(`cards.${card.job}.what`) }), 'strong');
    const read1: Button = button(say('cards.button.show-me'), press('card.read', ref.cafe, card.job));
    const knows = hands.kind === 'person' && hands.shown !== 'no';
    if (card.training === 'none' || knows) return message([first], [read1, button(say('cards.button.start'), press('card.start', ref.cafe, card.job, '-', '-'))]);
    // An owner marks people, and themselves, where a card is only for those who were shown it.
    const marks = looked.isOwner && card.training === 'marked' ? [button(say('cards.button.marks'), press('card.marks', ref.cafe, card.job))] : [];
    return message([first, say('cards.gate.before')], [button(say('cards.button.have'), to('card.have', ref), 'main'), read1, ...marks], [button(say('cards.button.alone'), press('card.alone', ref.cafe, card.job)), button(say('cards.button.colleague'), press('card.colleague', ref.cafe, card.job))]);
  };

  const takeAsk = async (said: Said): Promise<Answer | WhichCafe | undefined> => {
    if (said.cafes.length === 0) return undefined;
    const asks = languagesOf(said.locale).map((locale) => readCardAsk(said.text, phrasesIn(locale), namesIn(locale, [...book.cards.keys()]))).find((each) => each !== undefined);
    if (!asks) return undefined;
    if (said.cafes.length > 1) return WHICH_CAFE;
    return read(store, async (tx): Promise<Answer | undefined> => {
      const [cafe] = said.cafes;
      if (cafe === undefined) return undefined;
      if (!(await mayIn(tx, cafe, said.by, 'see'))) return undefined;
      const room = await roomFor(tx, cafe, said);
      const fitting = room ? asks.jobs.flatMap((job) => lookAt(room, job, said) ?? []).filter(({ gate }) => gate.kind !== 'not-here') : [];
      const [only] = fitting;
      if (!room || !only) return { kind: 'say', message: message([words.in(said.locale)(room ? 'cards.not-for-this' : 'cards.no-machine')]) };
      return { kind: 'say', message: fitting.length === 1 ? explained(said, only) : listMessage(said.locale, room, fitting, 0) };
    });
  };

  const saysDone = (said: Said): boolean =>
    languagesOf(said.locale).some((locale) => {
      const lexicon = lexicons.get(locale);
      const kind = lexicon ? readReply(said.text, lexicon, []).kind : 'none';
      return kind === 'done' || kind === 'unsure' || isTypedAnswer(said.text, split(words.in(locale)('cards.words.typed')));
    });

  /** A typed "done" or "off and cool" is no answer to a card: only its buttons are, pressed by whoever does it. */
  const takeTyped = async (said: Said): Promise<Answer | undefined> => {
    const onCard = said.reply?.kind === 'card' || said.reply?.kind === 'card.waited' || said.reply?.kind === 'card.loud';
    if ((said.reply !== undefined && !onCard) || said.cafes.length === 0 || !saysDone(said)) return undefined;
    const atIt = onCard || (await read(store, async (tx) => {
      const runs = (await Promise.all(said.cafes.map((cafe) => openRuns(tx, cafe)))).flat();
      return runs.some((run) => run.place === said.at && run.doer_person === said.by.id && run.state === 'on' && said.now - run.touched_at < AT_THE_CARD);
    }));
    return atIt ? { kind: 'say', message: message([words.in(said.locale)('cards.typed'), words.in(said.locale)('cards.typed.list')]) } : undefined;
  };

  const cafeOf = async (tx: Tx, given: Press): Promise<string | undefined> => (await cafeById(tx, given.ids[0] ?? ''))?.id;
  const route = (kind: string, ack: PressRoute['ack'], take: PressRoute['take']): PressRoute => ({ kind, ack, right: 'see', cafe: cafeOf, take });

  return {
    presses: [route('card.read', 'private', page('private')), route('card.page', 'update', page('redraw')), route('card.pick', 'update', pick), route('card.list', 'update', list)],
    words: [
      { name: 'card.typed', order: 18, take: takeTyped },
      { name: 'card.ask', order: 35, take: takeAsk },
    ],
    commands: [{ name: 'card', take: async (command) => command.cafes.length > 1 ? WHICH_CAFE : ({ kind: 'private', message: await listFor(command, command.cafes, command.given['text'] ?? '') }) }],
  };
};

