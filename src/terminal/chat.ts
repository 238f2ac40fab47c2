import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Message } from '../chat/message.ts';
import { ChatRefused, type Chat } from '../chat/port.ts';
import { isDirect, type PersonId, type PlaceId } from '../chat/who.ts';
import { assertOutside } from '../store/guard.ts';
import type { Clock } from '../time/clock.ts';
import { clockTime, weekday } from '../words/format.ts';
import type { Entry, History } from './history.ts';
import { renderMessage, sameMessage } from './render.ts';
import { placeName, type Scenario } from './scenario.ts';

export type ScreenNeeds = {
  readonly scenario: Scenario;
  readonly history: History;
  readonly clock: Clock;
  /** Writes whole lines. */
  readonly print: (lines: readonly string[]) => void;
  /** Where pictures and files are put. */
  readonly folder: string;
};

export type Screen = {
  readonly chat: Chat;
  /** Shows a private answer to one person. */
  readonly whisper: (person: PersonId, name: string, at: PlaceId, message: Message, nonce: string) => Promise<Entry>;
  /** Shows a message changed in place. */
  readonly change: (id: string, message: Message) => Promise<void>;
};

/** A year in hand: the terminal never forgets a nonce. */
const NONCE_WINDOW = 400 * 86_400_000;

export const createScreen = ({ scenario, history, clock, print, folder }: ScreenNeeds): Screen => {
  const reader = { locale: 'en', zone: scenario.zone };

  const savePapers = async (message: Message): Promise<ReadonlyMap<string, string>> => {
    const papers = [...(message.files ?? []), ...(await Promise.all((message.pictures ?? []).map(async ({ name, draw }) => ({ name, bytes: await draw() }))))];
    if (papers.length > 0) mkdirSync(join(folder, 'shown'), { recursive: true });
    for (const { name, bytes } of papers) writeFileSync(join(folder, 'shown', name), bytes);
    return new Map(papers.map(({ name }) => [name, join(folder, 'shown', name)]));
  };

  const headed = (heading: string, entry: Entry, message: Message, saved: ReadonlyMap<string, string>): void => {
    const hasChoice = (message.rows ?? []).length > 0;
    const now = clock.now();
    print(['', `── ${heading} · ${weekday(now, reader).slice(0, 3)} ${clockTime(now, reader)}${hasChoice ? ` · [${entry.tag}]` : ''}`, ...renderMessage(message, scenario, saved).map((each) => `   ${each}`)]);
  };

  const headingOf = (entry: Entry): string => {
    const name = placeName(scenario, entry.place);
    return entry.only !== null ? `only ${scenario.people[entry.only]?.name ?? entry.only}` : isDirect(entry.place) ? `to ${name}` : name;
  };

  const change = async (id: string, message: Message): Promise<void> => {
    const saved = await savePapers(message);
    const entry = await history.change(id, message);
    if (!entry) throw new ChatRefused({ why: 'message-gone' });
    headed(`${headingOf(entry)}, changed`, entry, message, saved);
  };

  return {
    change,
    chat: {
      nonceWindow: NONCE_WINDOW,
      send: async (place, message, { nonce }) => {
        assertOutside('sending');
        const saved = await savePapers(message);
        const { entry, fresh } = await history.keep({ place, nonce, message, at: clock.now() });
        if (fresh) headed(headingOf(entry), entry, message, saved);
        return entry.id;
      },
      edit: async (_place, id, message) => {
        assertOutside('changing a message');
        const shown = await history.byId(id);
        if (shown && sameMessage(shown.message, message, scenario)) return;
        await change(id, message);
      },
      remove: async (_place, id) => {
        await history.change(id, { lines: [{ text: '(removed)' }] });
      },
      find: async (place, message, since) => {
        const found = (await history.since(place, since)).find((entry) => sameMessage(entry.message, message, scenario));
        return found ? { kind: 'found', id: found.id } : { kind: 'not-found' };
      },
    },
    whisper: async (person, _name, at, message, nonce) => {
      const saved = await savePapers(message);
      const { entry } = await history.keep({ place: at, only: person, nonce, message, at: clock.now() });
      headed(headingOf(entry), entry, message, saved);
      return entry;
    },
  };
};
