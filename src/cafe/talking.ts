import { message, type Message } from '../chat/message.ts';
import { transact } from '../store/transact.ts';
import type { Talk } from './conversation.ts';
import { houseOf, type House } from './house.ts';
import type { CafeNeeds } from './needs.ts';
import type { Here, PressRoute } from './subject.ts';

/** The café of a press: its first id. */
export const cafeOfPress: NonNullable<PressRoute['cafe']> = async (_tx, { ids }) => ids[0];

/** One conversation in one transaction, with the café held. */
export const talking = async (needs: CafeNeeds, here: Here, cafe: string | undefined, work: (talk: Talk, house: House) => Promise<Message>): Promise<Message> =>
  transact(needs.store, cafe === undefined ? [] : [cafe], async (tx) => {
    const talk = { needs, tx, here };
    const house = cafe === undefined ? undefined : await houseOf(tx, cafe);
    return house ? work(talk, house) : message([needs.words.in(here.locale)('cafe.gone')]);
  });
