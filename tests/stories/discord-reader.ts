import { KIND, list, SELECTS, text, type Part } from '../platform/double/check-components.ts';
import { buttonsOf } from '../platform/double/seen.ts';
import type { Place } from '../platform/double/places.ts';
import type { Message, World } from '../platform/double/world.ts';

/** Marks that begin a heading, a list, a quote or small print when they stand first in a line. */
const BLOCK = /^\s*(?:#{1,3}\s|-#\s|[-*+]\s|>\s|>>>|\d{1,9}\.\s)/;

/** An address, as the platform's clients find it in a text. */
const LINK = /^https?:\/\/[^\s<]+[^<.,:;"')\]\s]/;

/** Reads one line of the platform's markup the way a screen shows it; written apart from what writes it. */
const shownLine = (line: string, name: (id: string) => string): string => {
  let shown = '';
  const small = line.startsWith('-# ');
  const rest = small ? line.slice(3) : line;
  if (!small && BLOCK.test(rest)) throw new Error(`a mark nobody meant: ${line}`);
  for (let i = 0; i < rest.length; i++) {
    const here = rest.slice(i);
    const mention = /^<@!?(\d+)>/.exec(here);
    const link = LINK.exec(here);
    if (/^\\[^0-9A-Za-z\s]/.test(here)) shown += rest[++i];
    else if (here.startsWith('**')) i++;
    else if (mention ?? link) {
      shown += mention ? name(mention[1] ?? '') : (link?.[0] ?? '');
      i += (mention ?? link)?.[0].length ?? 0;
      i--;
    } else if (/^(?:[*_~`|[]|<[@#:/at])/.test(here)) throw new Error(`markup nobody meant: ${line}`);
    else if (rest[i] !== '\u200b') shown += rest[i];
  }
  return shown;
};

/** The lines on a screen, without a last line that only calls people. */
export const shownLines = (world: World, message: Message): readonly string[] =>
  message.content
    .replace(/\n(?:<@&?\d+> ?)+$/, '')
    .split('\n')
    .map((line) => shownLine(line, (id) => world.users.get(id)?.name ?? id));

/** What can be chosen on a message: what is written on it, and how to choose it. */
export type Chooser = { readonly label: string; readonly part: Part; readonly value?: string };

/** Entries of a list as a person sees them, with what is sent for each. */
export const entriesOf = (world: World, place: Place, part: Part): readonly { readonly label: string; readonly value: string }[] => {
  switch (part['type']) {
    case 5:
      return [...place.guild.members.keys()].filter((id) => id !== world.bot.userId).map((id) => ({ label: world.users.get(id)?.name ?? id, value: id }));
    case 6:
      return [...place.guild.roles.values()].filter(({ id, name }) => id !== place.guild.id && name !== 'Grouphand').map(({ id, name }) => ({ label: `role "${name}"`, value: id }));
    case 8:
      return [...world.channels.values()].filter(({ guildId }) => guildId === place.guild.id).map(({ id, name }) => ({ label: `#${name}`, value: id }));
    default:
      return list(part['options']).map((option) => ({ label: text(option['label']), value: text(option['value']) }));
  }
};

/** Everything on the message one can choose, row by row. */
export const choosersOn = (world: World, place: Place, message: Message): readonly Chooser[] =>
  (message.components as unknown as readonly Part[]).flatMap((row) =>
    list(row['components']).flatMap((part): readonly Chooser[] => {
      if (part['type'] === KIND.button) return part['style'] === 5 ? [] : [{ label: text(part['label']), part }];
      return SELECTS.includes(part['type']) ? entriesOf(world, place, part).map(({ label, value }) => ({ label, part, value })) : [];
    }),
  );

export const isButton = (message: Message, label: string): boolean => buttonsOf(message).some((button) => button['label'] === label && button['style'] !== 5);
