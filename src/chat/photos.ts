import type { Attachment } from './incoming.ts';

/** Bytes of one photo; a phone's picture is smaller. */
export const MOST_BYTES = 5 * 1024 * 1024;

export type FetchedPhoto = { readonly kind: string; readonly ending: string; readonly bytes: Uint8Array };

const ENDING: Readonly<Record<string, string>> = { 'image/png': 'png', 'image/jpeg': 'jpg', 'image/webp': 'webp' };

const fetched = async ({ kind, size, fetch }: Attachment): Promise<FetchedPhoto | undefined> => {
  if (!kind.startsWith('image/') || size > MOST_BYTES) return undefined;
  const bytes = await fetch();
  return bytes.length > MOST_BYTES ? undefined : { kind, ending: ENDING[kind] ?? 'img', bytes };
};

/** The photos among what was sent, read at once: links of a platform expire. What is no picture or too large is left out. */
export const fetchedPhotos = async (attachments: readonly Attachment[], most: number): Promise<readonly FetchedPhoto[]> => (await Promise.all(attachments.slice(0, most).map(fetched))).filter((each) => each !== undefined);
