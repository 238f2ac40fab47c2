import type { Attachment as Received } from 'discord.js';
import type { Attachment } from '../chat/incoming.ts';

const MOST_BYTES = 10 * 1024 * 1024;
const LONGEST_READ = 20_000;

const isTaken = (kind: string): boolean => kind.startsWith('image/') || kind === 'application/pdf';

/** Reads no more than we said we would, whatever the other side sends. */
const readAll = async (url: string): Promise<Uint8Array> => {
  const answer = await fetch(url, { signal: AbortSignal.timeout(LONGEST_READ) });
  if (!answer.ok || !answer.body) throw new Error(`a photo could not be read: ${answer.status}`);
  const parts: Uint8Array[] = [];
  let size = 0;
  for await (const part of answer.body) {
    size += part.byteLength;
    if (size > MOST_BYTES) throw new Error('a photo is larger than it said');
    parts.push(part);
  }
  return Buffer.concat(parts);
};

/** Photos and papers of at most 10 MB; anything else sent along is passed over. */
export const attachmentsOf = (received: readonly Pick<Received, 'name' | 'contentType' | 'size' | 'url'>[]): readonly Attachment[] =>
  received.flatMap(({ name, contentType, size, url }) => {
    const kind = contentType?.split(';')[0]?.trim().toLowerCase() ?? '';
    return isTaken(kind) && size <= MOST_BYTES ? [{ name, kind, size, fetch: () => readAll(url) }] : [];
  });
