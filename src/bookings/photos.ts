import type { Selectable } from 'kysely';
import type { Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer, Attachment } from '../chat/incoming.ts';
import { message, type Picture, type Question } from '../chat/message.ts';
import type { Ids } from '../store/id.ts';
import type { Store, Tx } from '../store/store.ts';
import type { BookingPhotoRow } from '../store/tables/bookings.ts';
import { transact, read } from '../store/transact.ts';
import type { Say } from '../words/catalogue.ts';
import type { HandoffFacts } from './handoff-facts.ts';
import { bookingIn, type Pressing } from './pressing.ts';
import { bookingById } from './records.ts';

export type Photo = Selectable<BookingPhotoRow>;
type Shows = HandoffFacts['photos'][number]['shows'];

const SHOWS: readonly Shows[] = ['plate', 'gauges', 'leak', 'filter label', 'other'];
const MOST_AT_ONCE = 3;
/** Photos of a booking, and bytes of one: more are told apart by nobody on a phone. */
export const MOST_PHOTOS = 8;
export const MOST_BYTES = 5 * 1024 * 1024;

export const photosOf = async (tx: Tx, booking: string): Promise<readonly Photo[]> => tx.selectFrom('booking_photo').selectAll().where('booking', '=', booking).orderBy('at').orderBy('id').execute();

const isShows = (text: string): text is Shows => (SHOWS as readonly string[]).includes(text);

export const photoFacts = async (tx: Tx, booking: string): Promise<HandoffFacts['photos']> => {
  const rows = await tx.selectFrom('booking_photo').select(['shows', 'name']).where('booking', '=', booking).orderBy('at').execute();
  return rows.map(({ shows, name }) => ({ shows: isShows(shows) ? shows : 'other', file: name }));
};

/** Sent anew from what is kept: links of a platform expire. */
export const pictureOf = (photo: Photo, say: Say): Picture => ({ name: photo.name, alt: say('booking.photo.alt', { shows: say(`booking.shows.${photo.shows.replaceAll(' ', '-')}`), name: photo.by_name }), draw: async () => new Uint8Array(Buffer.from(photo.bytes, 'base64')) });

const fetched = async (attachment: Attachment): Promise<string | undefined> => {
  if (!attachment.kind.startsWith('image/') || attachment.size > MOST_BYTES) return undefined;
  const bytes = await attachment.fetch();
  return bytes.length > MOST_BYTES ? undefined : Buffer.from(bytes).toString('base64');
};

const ENDING: Readonly<Record<string, string>> = { 'image/png': 'png', 'image/jpeg': 'jpg', 'image/webp': 'webp' };

/** Photos from the bar before a visit, and from the technician after it. */
export const createPhotos = ({ ids, store, pressing }: { readonly ids: Ids; readonly store: Store; readonly pressing: Pressing }): readonly PressRoute[] => {
  const { cafe, technician, form, redrawn, say: sayOf } = pressing;

  const asked = (say: Say): readonly [Question, ...Question[]] => [
    { key: 'photos', label: 'booking.form.photos', answer: { kind: 'photos', most: MOST_AT_ONCE } },
    { key: 'shows', label: 'booking.form.shows', optional: true, answer: { kind: 'pick', most: 1, from: SHOWS.map((shows) => ({ value: shows, label: say(`booking.shows.${shows.replaceAll(' ', '-')}`) })) } },
  ];

  const keep = async (pressed: Pressed): Promise<Answer> => {
    const say = sayOf(pressed);
    // What a phone sends is read before anything is written: no network while a café is held.
    const read_ = await Promise.all(pressed.attachments.slice(0, MOST_AT_ONCE).map(async (attachment) => ({ attachment, bytes: await fetched(attachment) })));
    const home = (await read(store, (tx) => bookingById(tx, bookingIn(pressed))))?.cafe;
    if (home === undefined) return { kind: 'redraw', message: message([say('chat.tooOld')]) };
    const shows = pressed.answers['shows']?.[0] ?? 'other';
    const kept = await transact(store, [home], async (tx) => {
      const known = (await photoFacts(tx, bookingIn(pressed))).length;
      const fresh = read_.flatMap(({ attachment, bytes }) => (bytes === undefined ? [] : [{ attachment, bytes }])).slice(0, Math.max(0, MOST_PHOTOS - known));
      for (const [i, { attachment, bytes }] of fresh.entries())
        await tx.insertInto('booking_photo').values({ id: ids(pressed.now), booking: bookingIn(pressed), cafe: home, shows: isShows(shows) ? shows : 'other', name: `photo-${known + i + 1}.${ENDING[attachment.kind] ?? 'img'}`, kind: attachment.kind, bytes, by_person: pressed.by.id, by_name: pressed.by.name, at: pressed.now }).execute();
      return fresh.length;
    });
    return redrawn(pressed, message([kept === 0 ? say('booking.photos.refused') : say('booking.photos.kept', { count: kept })]));
  };

  const open = async (pressed: Pressed): Promise<Answer> => form('booking.photo-said', 'booking.form.photo', ...asked(sayOf(pressed)))(pressed);

  return [{ ...cafe('booking.photo', open, 'form'), right: 'see' }, { ...technician('booking.photo-said', keep), right: 'see' }];
};
