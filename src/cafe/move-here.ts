import { button, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { isDirect } from '../chat/who.ts';
import { shortened } from '../words/format.ts';
import { present, type Talk } from './conversation.ts';
import { factOf } from './facts.ts';
import { houseOf } from './house.ts';
import type { CafeNeeds } from './needs.ts';
import { cafesOf, type Cafe } from './records.ts';
import { mayIn } from './rights.ts';
import type { PressRoute } from './subject.ts';
import { cafeOfPress, talking } from './talking.ts';
import { writeFact } from './write-fact.ts';

/** A café of this person in this house whose channel cannot be written to. */
const stuckCafe = async ({ tx, here }: Talk): Promise<Cafe | undefined> => {
  for (const cafe of isDirect(here.at) ? [] : await cafesOf(tx, here.by.id)) {
    const trouble = cafe.place !== null && cafe.space === (here.space ?? null) && (await tx.selectFrom('place_trouble').select('id').where('cafe', '=', cafe.id).where('place', '=', cafe.place).executeTakeFirst());
    if (trouble && (await mayIn(tx, cafe.id, here.by, 'own'))) return cafe;
  }
  return undefined;
};

/** /cafe in a channel without a café, by the owner of one I cannot write in: does it move here? */
export const offerMove = async (talk: Talk): Promise<Message | undefined> => {
  const cafe = await stuckCafe(talk);
  const say = talk.needs.words.in(talk.here.locale);
  return cafe && message([say('cafe.here.cannot', { name: shortened(cafe.name, 24) }), say('cafe.here.ask')], [button(say('cafe.button.here'), press('cafe.here', cafe.id), 'main'), button(say('cafe.button.leave'), press('cafe.dismiss'))]);
};

export const moveHereRoute = (needs: CafeNeeds): PressRoute => ({
  kind: 'cafe.here', ack: 'update', right: 'own', cafe: cafeOfPress,
  take: async (pressed) => ({
    kind: 'redraw',
    message: await talking(needs, pressed, pressed.press.ids[0], async (talk, house) => {
      const channel = factOf('channel');
      if (channel && !isDirect(pressed.at)) await writeFact({ tx: talk.tx, ids: needs.ids, now: pressed.now, countries: needs.countries, by: pressed.by.id }, channel, house, null, pressed.at);
      return present(talk, (await houseOf(talk.tx, house.cafe.id)) ?? house, { key: 'cafe.here.done' });
    }),
  }),
});
