import { createHash } from 'node:crypto';
import type { Message } from '../chat/message.ts';

/**
 * A short mark that is the same for messages that look the same, so that nothing is changed into what it is already.
 * Null: only drawing its pictures would tell.
 */
export const lookOf = (message: Message): string | null => {
  if (message.pictures?.length) return null;
  const files = message.files?.map(({ name, bytes }) => [name, createHash('sha256').update(bytes).digest('base64url')]);
  return createHash('sha256').update(JSON.stringify([message.title, message.lines, message.rows, files])).digest('base64url').slice(0, 22);
};
