import { button, type Button, line, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { read } from '../store/transact.ts';
import type { Say } from '../words/catalogue.ts';
import { shortened } from '../words/format.ts';
import type { HelpRole } from './help-role.ts';
import type { CafeNeeds } from './needs.ts';
import { cafesAt, cafesOf, rolesIn, type Cafe } from './records.ts';
import { rightsOf } from './roles.ts';
import type { CommandRoute, Here } from './subject.ts';

const MOST_BUTTONS = 3;

/** Five lines and at most three buttons, for what this person may do. `more`: buttons of other subjects, which come first. */
export const helpView = (role: HelpRole, cafe: Cafe | undefined, more: readonly Button[], say: Say): Message => {
  const buttons = [...more, ...(role === 'owner' && cafe ? [button(say('cafe.button.changeCafe'), press('cafe.open', cafe.id))] : []), button(say('cafe.button.myData'), press('cafe.my-data-open'))].slice(0, MOST_BUTTONS);
  const title = cafe ? say('cafe.help.title', { name: shortened(cafe.name, 30) }) : say('cafe.help.titleNone');
  return { ...message([say(`cafe.help.${role}`), say(`cafe.help.${role}.more`), say('cafe.help.danger'), line(say('cafe.help.first'), 'quiet')], buttons), title };
};

const roleHere = async (needs: CafeNeeds, here: Here): Promise<{ readonly role: HelpRole; readonly cafe: Cafe | undefined }> =>
  read(needs.store, async (tx) => {
    const there = await cafesAt(tx, here.at);
    const [cafe] = there.length > 0 ? there : await cafesOf(tx, here.by.id);
    if (!cafe) return { role: 'none', cafe: undefined };
    const rights = rightsOf(await rolesIn(tx, cafe, here.by));
    return { cafe, role: rights.has('own') ? 'owner' : rights.has('answer') ? 'bar' : rights.has('visit') ? 'technician' : 'none' };
  });

export const showHelp = async (needs: CafeNeeds, here: Here): Promise<Message> => {
  const say = needs.words.in(here.locale);
  const { role, cafe } = await roleHere(needs, here);
  return helpView(role, cafe, needs.helpButtons?.(role, cafe?.id, say) ?? [], say);
};

export const helpCommand = (needs: CafeNeeds): CommandRoute => ({ name: 'help', take: async (here) => ({ kind: 'private', message: await showHelp(needs, here) }) });
