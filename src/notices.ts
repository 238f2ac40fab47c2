import type { NoticeKind, Subject } from './cafe/subject.ts';
import type { Message } from './chat/message.ts';
import type { Delivery } from './delivery/outbox.ts';
import { SAID } from './store/post.ts';
import type { Clock } from './time/clock.ts';

/** A notice that carries its finished text. */
const saidKind: NoticeKind = { kind: SAID, show: async ({ data }) => (data as { message: Message }).message };

/** How each kind of notice looks, asked by the sender at the moment of sending. Throws for a kind nobody knows. */
export const createNotices = (subjects: readonly Subject[], clock: Clock): ((delivery: Delivery) => Promise<Message | undefined>) => {
  const kinds = new Map([saidKind, ...subjects.flatMap((subject) => subject.notices ?? [])].map((kind) => [kind.kind, kind]));
  return async (delivery) => {
    const kind = kinds.get(delivery.kind);
    if (!kind) throw new Error(`a notice nobody knows: ${delivery.kind}`);
    return kind.show({ data: delivery.data, cafe: delivery.cafe, place: delivery.place, now: clock.now() });
  };
};
