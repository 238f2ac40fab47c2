import type { Selectable } from 'kysely';
import type { Picture } from '../chat/message.ts';
import { fetchedPhotos } from '../chat/photos.ts';
import type { Attachment } from '../chat/incoming.ts';
import type { Person } from '../chat/who.ts';
import type { Files } from '../store/files.ts';
import type { Ids } from '../store/id.ts';
import type { Store, Tx } from '../store/store.ts';
import type { KeptFileRow } from '../store/tables/delivery.ts';
import { read, transact } from '../store/transact.ts';
import type { Instant } from '../time/instant.ts';

export type KeptFile = Selectable<KeptFileRow>;
/** What a file is about: a question to the technician, or a job on a list. */
export type About = { readonly cafe: string; readonly about: 'case' | 'job'; readonly ref: string };

/** More of one matter are told apart by nobody on a phone. */
export const MOST_KEPT = 8;

export const keptFor = async (tx: Tx, about: About['about'], ref: string): Promise<readonly KeptFile[]> => tx.selectFrom('kept_file').selectAll().where('about', '=', about).where('ref', '=', ref).orderBy('at').orderBy('id').execute();

/** Keeps the photos among what was sent; the ids of those kept. */
export const keepPhotos = async ({ store, ids, files }: { readonly store: Store; readonly ids: Ids; readonly files: Files }, what: About, by: Person, now: Instant, attachments: readonly Attachment[]): Promise<readonly string[]> => {
  const known = (await read(store, (tx) => keptFor(tx, what.about, what.ref))).length;
  const photos = (await fetchedPhotos(attachments, MOST_KEPT)).slice(0, Math.max(0, MOST_KEPT - known)).map((photo) => ({ ...photo, id: ids(now) }));
  for (const { id, bytes } of photos) await files.keep(what.cafe, id, bytes);
  if (photos.length > 0)
    await transact(store, [what.cafe], (tx) =>
      tx.insertInto('kept_file').values(photos.map(({ id, kind, ending, bytes }, i) => ({ id, ...what, shows: 'other', name: `${what.about}-${known + i + 1}.${ending}`, kind, size: bytes.length, by_person: by.id, by_name: by.name, at: now }))).execute(),
    );
  return photos.map(({ id }) => id);
};

export const keptPicture = (files: Files, row: KeptFile, alt: string): Picture => ({ name: row.name, alt, draw: async () => (await files.read(row.cafe, row.id)) ?? new Uint8Array() });
