import { PermissionFlagsBits, type Client } from 'discord.js';
import { ownersOf } from '../cafe/records.ts';
import { message } from '../chat/message.ts';
import { direct, idOf, personId, placeId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import { post, SAID, said } from '../store/post.ts';
import type { Store } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import type { Instant } from '../time/instant.ts';
import type { Words } from '../words/catalogue.ts';
import { shortened } from '../words/format.ts';

export type RoleNeeds = { readonly client: Client<true>; readonly store: Store; readonly words: Words; readonly ids: Ids };

/** A role that may not be called looks as if it were, and no telephone rings. Undefined where all is well. */
const silentRole = (client: Client<true>, place: string, role: string): string | undefined => {
  const channel = client.channels.cache.get(idOf(placeId(place)));
  if (!channel || !('guild' in channel)) return undefined;
  const found = channel.guild.roles.cache.get(role);
  const mayCall = channel.permissionsFor(client.user.id)?.has(PermissionFlagsBits.MentionEveryone) ?? false;
  return found && !found.mentionable && !mayCall ? found.name : undefined;
};

/** Tells the owners, once for each role, when a call in danger would reach nobody. */
export const checkRoles = async ({ client, store, words, ids }: RoleNeeds, now: Instant): Promise<void> => {
  const cafes = await read(store, (tx) => tx.selectFrom('cafe').select(['id', 'place', 'bar_role', 'language', 'name']).where('state', '=', 'live').where('bar_role', 'is not', null).where('loud_danger', '=', 1).execute());
  for (const { id, place, bar_role, language, name } of cafes) {
    const role = place === null || bar_role === null ? undefined : silentRole(client, place, bar_role);
    if (role === undefined) continue;
    await transact(store, [id], async (tx) => {
      for (const owner of await ownersOf(tx, id)) {
        const say = words.in(owner.language ?? language);
        const lines = say('discord.silentRole', { cafe: shortened(name, 20), role: shortened(role, 20) }).split('\n');
        await post(tx, ids, now, { key: `silent-role.${id}.${bar_role}.${owner.id}`, cafe: id, place: direct(personId(owner.person ?? '')), kind: SAID, data: said(message(lines)), priority: 'other' });
      }
    });
  }
};
