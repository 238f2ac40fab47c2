import type { Selectable } from 'kysely';
import { keptFor, keptPicture, type KeptFile } from '../cafe/kept-files.ts';
import type { Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message, type Picture, type Question } from '../chat/message.ts';
import { fetchedPhotos } from '../chat/photos.ts';
import type { Files } from '../store/files.ts';
import type { Ids } from '../store/id.ts';
import type { Store, Tx } from '../store/store.ts';
import type { BookingPhotoRow } from '../store/tables/bookings.ts';
import { transact, read } from '../store/transact.ts';
import type { Say } from '../words/catalogue.ts';
import type { HandoffFacts } from './handoff-facts.ts';
import { bookingIn, type Pressing } from './pressing.ts';
import { bookingById } from './records.ts';

export type Photo = Selectable<BookingPhotoRow> | KeptFile;
type Shows = HandoffFacts['photos'][number]['shows'];

const SHOWS: readonly Shows[] = ['plate', 'gauges', 'leak', 'filter label', 'other'];
const MOST_AT_ONCE = 3;
/** Photos of a booking: more are told apart by nobody on a phone. */
export const MOST_PHOTOS = 8;

/** Those sent with the complaint, then those sent to the visit. */
export const photosOf = async (tx: Tx, booking: string): Promise<readonly Photo[]> => {
  const row = await tx.selectFrom('booking').select('case_id').where('id', '=', booking).executeTakeFirst();
  const told = row?.case_id ? await keptFor(tx, 'case', row.case_id) : [];
  const own = await tx.selectFrom('booking_photo').selectAll().where('booking', '=', booking).orderBy('at').orderBy('id').execute();
  return [...told, ...own];
};

const isShows = (text: string): text is Shows => (SHOWS as readonly string[]).includes(text);

export const photoFacts = async (tx: Tx, booking: string): Promise<HandoffFacts['photos']> => {
  return (await photosOf(tx, booking)).map(({ shows, name }) => ({ shows: isShows(shows) ? shows : 'other', file: name }));
};

/** Sent anew from what is kept: links of a platform expire. */
export const pictureOf = (files: Files, photo: Photo, say: Say): Picture => {
  const alt = say('booking.photo.alt', { shows: say(`booking.shows.${photo.shows.replaceAll(' ', '-')}`), name: photo.by_name });
  return 'bytes' in photo ? { name: photo.name, alt, draw: async () => new Uint8Array(Buffer.from(photo.bytes, 'base64')) } : keptPicture(files, photo, alt);
};

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
    const sent = await fetchedPhotos(pressed.attachments, MOST_AT_ONCE);
    const home = (await read(store, (tx) => bookingById(tx, bookingIn(pressed))))?.cafe;
    if (home === undefined) return { kind: 'redraw', message: message([say('chat.tooOld')]) };
    const shows = pressed.answers['shows']?.[0] ?? 'other';
    const kept = await transact(store, [home], async (tx) => {
      const known = (await photoFacts(tx, bookingIn(pressed))).length;
      const fresh = sent.slice(0, Math.max(0, MOST_PHOTOS - known));
      for (const [i, { kind, ending, bytes }] of fresh.entries())
        await tx.insertInto('booking_photo').values({ id: ids(pressed.now), booking: bookingIn(pressed), cafe: home, shows: isShows(shows) ? shows : 'other', name: `photo-${known + i + 1}.${ending}`, kind, bytes: Buffer.from(bytes).toString('base64'), by_person: pressed.by.id, by_name: pressed.by.name, at: pressed.now }).execute();
      return fresh.length;
    });
    return redrawn(pressed, message([kept === 0 ? say('booking.photos.refused') : say('booking.photos.kept', { count: kept })]));
  };

  const open = async (pressed: Pressed): Promise<Answer> => form('booking.photo-said', 'booking.form.photo', ...asked(sayOf(pressed)))(pressed);

  return [{ ...cafe('booking.photo', open, 'form'), right: 'see' }, { ...technician('booking.photo-said', keep), right: 'see' }];
};
