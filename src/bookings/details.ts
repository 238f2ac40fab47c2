import type { Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, line, message, type Button, type Message, type Picture } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { Files } from '../store/files.ts';
import type { Store } from '../store/store.ts';
import { read } from '../store/transact.ts';
import type { Draw } from './draw.ts';
import { pictureOf, photosOf } from './photos.ts';
import { bookingIn, entryOf, type Pressing } from './pressing.ts';
import { bookingById, bookingsOfMachine } from './records.ts';
import { answerLines, causeLines, historyLines, machineLines, wordsLines } from './views-details.ts';

const PAGES = ['words', 'answers', 'causes', 'machine', 'history'] as const;
type Page = (typeof PAGES)[number];
const isPage = (text: string): text is Page => (PAGES as readonly string[]).includes(text);
const MOST_LINES = 4;
const MOST_PICTURES = 8;

/** What lies behind the first screen: page by page, for whoever was asked or has it. */
export const createDetails = ({ store, files, draw, pressing }: { readonly store: Store; readonly files: Files; readonly draw: Draw; readonly pressing: Pressing }): readonly PressRoute[] => {
  const { technician, say: sayOf } = pressing;

  const pageOf = async (pressed: Pressed, page: Page, from: number): Promise<Message> => {
    const say = sayOf(pressed);
    const found = await read(store, async (tx) => {
      const row = await bookingById(tx, bookingIn(pressed));
      const entry = row && (await entryOf(tx, row, pressed));
      const view = row && entry && (await draw.viewFor(tx, row, entry, pressed.now));
      if (!row || !view) return undefined;
      const show = draw.showFor(view.handed.cafe, pressed.now, pressed.locale);
      const before = row.machine === null ? [] : await bookingsOfMachine(tx, row.machine, row.id);
      const lines = page === 'words' ? wordsLines(show, view.handoff) : page === 'answers' ? answerLines(show, view.handoff.details) : page === 'causes' ? causeLines(show, view.handoff.details) : page === 'machine' ? machineLines(show, view.handoff) : historyLines(show, before, draw.closing);
      return { lines, photos: (await photosOf(tx, row.id)).length };
    });
    if (!found) return message([say('booking.refused.not-asked')]);
    const ids = pressed.press.ids.slice(0, 2);
    const to = (kind: Page): Button => button(say(`booking.page.${kind}`), press('booking.page', ...ids, kind, '0'), kind === page ? 'main' : 'plain');
    const lines = found.lines.slice(from, from + MOST_LINES);
    const more = found.lines.length > from + MOST_LINES ? [button(say('booking.page.more'), press('booking.page', ...ids, page, String(from + MOST_LINES)))] : [];
    const photos = found.photos > 0 ? [button(say('booking.page.photos', { count: found.photos }), press('booking.photos', ...ids))] : [];
    const extra = [...more, ...photos];
    return message(lines.map((text, i) => (i === 0 && from === 0 ? line(text, 'strong') : line(text))), PAGES.slice(0, 3).map(to), PAGES.slice(3).map(to), ...(extra.length > 0 ? [extra] : []));
  };

  const photos = async (pressed: Pressed): Promise<Answer> => {
    const say = sayOf(pressed);
    const found = await read(store, async (tx) => {
      const row = await bookingById(tx, bookingIn(pressed));
      const entry = row && (await entryOf(tx, row, pressed));
      return row && entry ? photosOf(tx, row.id) : [];
    });
    if (found.length === 0) return { kind: 'private', message: message([say('booking.photos.none')]) };
    const pictures: readonly Picture[] = found.slice(0, MOST_PICTURES).map((photo) => pictureOf(files, photo, say));
    return { kind: 'private', message: { ...message([say('booking.photos', { count: found.length })]), pictures } };
  };

  return [
    technician('booking.details', async (pressed) => ({ kind: 'private', message: await pageOf(pressed, 'words', 0) }), 'private'),
    technician('booking.page', async (pressed) => {
      const [, , page = '', from = '0'] = pressed.press.ids;
      return { kind: 'redraw', message: await pageOf(pressed, isPage(page) ? page : 'words', Number(from) || 0) };
    }),
    technician('booking.photos', photos, 'private'),
  ];
};
