import { cafesAt, cafesHere } from './cafe/records.ts';
import type { Here, Shown } from './cafe/subject.ts';
import type { Incoming } from './chat/incoming.ts';
import type { Tx } from './store/store.ts';
import type { Clock } from './time/clock.ts';
import type { Words } from './words/catalogue.ts';

/** What the message was that somebody pressed on, replied to or marked; undefined: none of ours, or no longer known. */
export const shownOn = async (tx: Tx, place: string, id: string | undefined): Promise<Shown | undefined> => {
  if (id === undefined) return undefined;
  const row = await tx.selectFrom('outbox').select(['key', 'kind', 'data', 'cafe']).where('place', '=', place).where('message_id', '=', id).executeTakeFirst();
  return row && { key: row.key, kind: row.kind, data: JSON.parse(row.data) as unknown, cafe: row.cafe };
};

/** Who speaks, where, when, and in which language they are answered. */
export const hereOf = async ({ words, clock }: { readonly words: Words; readonly clock: Clock }, tx: Tx, incoming: Incoming): Promise<Here> => {
  const cafes = await cafesHere(tx, incoming.at, incoming.by.id);
  const member = await tx.selectFrom('member').select('language').where('person', '=', incoming.by.id).where('language', 'is not', null).executeTakeFirst();
  // What is said in a café's channel is answered in the café's language: others read it too.
  const [house] = await cafesAt(tx, incoming.at);
  const locale = words.nearest(incoming.locale ?? house?.language ?? member?.language ?? cafes[0]?.language);
  return { now: clock.now(), event: incoming.id, by: incoming.by, at: incoming.at, locale, ...(incoming.space === undefined ? {} : { space: incoming.space }) };
};
