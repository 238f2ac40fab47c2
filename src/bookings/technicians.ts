import { randomInt } from 'node:crypto';
import { cafeById, techniciansOf, type Cafe, type Technician } from '../cafe/records.ts';
import { mayIn } from '../cafe/rights.ts';
import type { Here, NoticeKind, Pressed, PressRoute, Said, WordsRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, line, message, type Button } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import { direct, isDirect, personId, type PlaceId } from '../chat/who.ts';
import type { Ids } from '../store/id.ts';
import { post, SAID, said as saidMessage } from '../store/post.ts';
import type { Store, Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { hours, later, type Instant } from '../time/instant.ts';
import type { Words } from '../words/catalogue.ts';
import { dateAndTime } from '../words/format.ts';
import { roundOf } from './booking-state.ts';
import type { Desk } from './desk.ts';
import { forgetDesk } from './desks.ts';
import { bookingOf, bookingsWith, entriesOfPerson, technicianById } from './records.ts';
import { closeRoads, openRoad, proveRoad } from './roads.ts';
import { fitted, label } from './show.ts';
import { reachableOwners, refresh } from './told.ts';

/** Letters and digits that nobody mistakes for one another. */
const ALPHABET = 'ABCDEFGHJKMNPQRSTUVWXYZ23456789';
const CODE_LENGTH = 6;
const CODE_LASTS = hours(24);
const LINK = /^(?:\/?visits\s+)?(?:link|code)\s+([A-Za-z0-9]{6})\s*$/i;

/** Notice kind of the message that proves a road. */
export const TEST = 'booking.test';
export type TestTold = { readonly technician: string; readonly place: string };

const newCode = (): string => Array.from({ length: CODE_LENGTH }, () => ALPHABET[randomInt(ALPHABET.length)]).join('');

export type Technicians = {
  readonly presses: readonly PressRoute[];
  readonly words: readonly WordsRoute[];
  readonly notices: readonly NoticeKind[];
  readonly buttons: (tx: Tx, here: Here, cafes: readonly string[]) => Promise<readonly (readonly Button[])[]>;
};

/** Linking a technician's account with a café: a code from the owner, a yes from the technician, and an end at any time. */
export const createTechnicians = ({ store, words, ids, desk }: { readonly store: Store; readonly words: Words; readonly ids: Ids; readonly desk: Desk }): Technicians => {
  const cafeOfEntry = async (tx: Tx, given: Press): Promise<string | undefined> => (await technicianById(tx, given.ids[0] ?? ''))?.cafe;

  const tellOwners = async (tx: Tx, entry: Technician, key: string, here: Here): Promise<void> => {
    const cafe = await cafeById(tx, entry.cafe);
    for (const owner of await reachableOwners(tx, entry.cafe))
      await post(tx, ids, here.now, { key: `${key}.${entry.id}.${here.now}.${owner.id}`, cafe: entry.cafe, place: direct(personId(owner.person)), kind: SAID, data: saidMessage(message([words.in(owner.language ?? cafe?.language)(key, { name: entry.name })])), priority: 'other' });
  };

  const giveCode = async (pressed: Pressed): Promise<Answer> => {
    const say = words.in(pressed.locale);
    const id = pressed.press.ids[0] ?? '';
    const home = (await read(store, (tx) => technicianById(tx, id)))?.cafe ?? '';
    return transact(store, [home], async (tx) => {
      const entry = await technicianById(tx, id);
      const cafe = entry && (await cafeById(tx, entry.cafe));
      if (!entry || !cafe) return { kind: 'private', message: message([say('chat.tooOld')]) };
      if (entry.state === 'linked') return { kind: 'private', message: message([fitted(say('booking.link.already', { name: entry.name }))]) };
      const until = later(pressed.now, CODE_LASTS);
      const code = newCode();
      await tx.updateTable('technician').set({ code, code_until: until, state: 'invited' }).where('id', '=', id).execute();
      return { kind: 'private', message: message([line(fitted(say('booking.link.code', { name: entry.name, code })), 'strong'), say('booking.link.how', { code }), say('booking.link.until', { time: dateAndTime(until, { locale: pressed.locale, zone: cafe.zone }) })]) };
    });
  };

  /** The technician's yes: where they write the code is where visits are told. */
  const takeCode = async (said: Here, code: string): Promise<Extract<Answer, { kind: 'say' }>> => {
    const say = words.in(said.locale);
    const found = await read(store, (tx) => tx.selectFrom('technician').selectAll().where('code', '=', code).executeTakeFirst());
    if (!found || (found.code_until ?? 0) < said.now) return { kind: 'say', message: message([say('booking.link.wrong')]) };
    return transact(store, [found.cafe], async (tx) => {
      const entry = await technicianById(tx, found.id);
      const cafe = await cafeById(tx, found.cafe);
      if (!entry || entry.code !== code || !cafe) return { kind: 'say', message: message([say('booking.link.wrong')]) };
      const place = isDirect(said.at) ? direct(said.by.id) : said.at;
      await tx.updateTable('technician').set({ person: said.by.id, place, state: 'linked', linked_at: said.now, code: null, code_until: null, language: said.locale }).where('id', '=', entry.id).execute();
      await openRoad(tx, ids, said.now, entry, cafe, place);
      await sendTest(tx, { ...entry, person: said.by.id }, cafe.id, place, said.now);
      await tellOwners(tx, entry, 'booking.link.told', said);
      return { kind: 'say', message: message([line(fitted(say('booking.link.done', { cafe: cafe.name })), 'strong'), say('booking.link.leave')]) };
    });
  };

  /** A message that proves a road: it arrived when its button is pressed. */
  const sendTest = (tx: Tx, entry: Technician, cafe: string, place: PlaceId, now: Instant): Promise<void> =>
    post(tx, ids, now, { key: `booking.test.${entry.id}.${now}.${place}`, cafe, place, kind: TEST, data: { technician: entry.id, place } satisfies TestTold, priority: 'visit', notify: entry.person === null ? [] : [personId(entry.person)] });

  /** The technician whose link it is, pressing for themselves, with the café held. */
  const forOwnLink = async (pressed: Pressed, work: (tx: Tx, entry: Technician, cafe: Cafe) => Promise<Answer>): Promise<Answer> => {
    const id = pressed.press.ids[0] ?? '';
    const home = (await read(store, (tx) => technicianById(tx, id)))?.cafe ?? '';
    return transact(store, [home], async (tx) => {
      const entry = await technicianById(tx, id);
      const cafe = entry && (await cafeById(tx, entry.cafe));
      if (!entry || !cafe || entry.state !== 'linked' || entry.person !== pressed.by.id) return { kind: 'private', message: message([words.in(pressed.locale)('chat.techniciansOnly')]) };
      return work(tx, entry, cafe);
    });
  };

  const proved = (pressed: Pressed): Promise<Answer> =>
    forOwnLink(pressed, async (tx, entry, cafe) => {
      const say = words.in(pressed.locale);
      await proveRoad(tx, entry.id, pressed.at, pressed.now);
      const also = isDirect(pressed.at) ? [] : [[button(say('booking.button.also-direct'), press('booking.also-direct', entry.id))]];
      return { kind: 'redraw', message: message([fitted(say('booking.test.proved', { cafe: cafe.name }))], ...also) };
    });

  /** Direct messages beside the firm's own place, by the technician's own press. */
  const alsoDirect = (pressed: Pressed): Promise<Answer> =>
    forOwnLink(pressed, async (tx, entry, cafe) => {
      const place = direct(pressed.by.id);
      await openRoad(tx, ids, pressed.now, entry, cafe, place);
      await sendTest(tx, entry, cafe.id, place, pressed.now);
      return { kind: 'redraw', message: message([words.in(pressed.locale)('booking.test.direct')]) };
    });

  /** What this technician was asked or had taken goes to the next one before the link is cut. */
  const handOn = async (tx: Tx, entry: Technician, now: Instant): Promise<void> => {
    for (const row of await bookingsWith(tx, [entry.id]))
      await desk.applyIn(tx, row, { kind: 'cafe asks another', insteadOf: entry.id, round: roundOf(bookingOf(row)) }, now);
  };

  const unlink = async (pressed: Pressed): Promise<Answer> => {
    const id = pressed.press.ids[0] ?? '';
    const say = words.in(pressed.locale);
    const home = (await read(store, (tx) => technicianById(tx, id)))?.cafe ?? '';
    return desk.holding(home, async (tx) => {
      const entry = await technicianById(tx, id);
      const cafe = entry && (await cafeById(tx, entry.cafe));
      if (!entry || !cafe) return { kind: 'redraw', message: message([say('chat.tooOld')]) };
      const own = entry.person === pressed.by.id;
      if (!own && !(await mayIn(tx, cafe.id, pressed.by, 'own'))) return { kind: 'private', message: message([say('chat.ownersOnly')]) };
      const held = await bookingsWith(tx, [id]);
      await tx.updateTable('technician').set({ person: null, place: null, state: 'named', linked_at: null }).where('id', '=', id).execute();
      await closeRoads(tx, id);
      if (entry.person !== null && (await entriesOfPerson(tx, entry.person)).length === 0) await forgetDesk(tx, entry.person);
      await handOn(tx, entry, pressed.now);
      for (const row of held) await refresh({ tx, now: pressed.now, row });
      await tellOwners(tx, entry, 'booking.unlink.told', pressed);
      return { kind: 'redraw', message: message([own ? fitted(say('booking.unlink.done', { cafe: cafe.name })) : fitted(say('booking.unlink.told', { name: entry.name }))]) };
    });
  };

  return {
    presses: [
      { kind: 'booking.link', ack: 'private', right: 'own', cafe: cafeOfEntry, take: giveCode },
      { kind: 'booking.code', ack: 'form', right: 'anyone', take: async ({ locale }) => {
        const say = words.in(locale);
        return { kind: 'form', form: { title: say('booking.form.code'), submit: press('booking.code-said'), questions: [{ key: 'code', label: say('booking.form.code-ask'), answer: { kind: 'words', most: 12 } }] } };
      } },
      { kind: 'booking.code-said', ack: 'update', right: 'anyone', take: async (pressed) => ({ kind: 'redraw', message: (await takeCode(pressed, (pressed.answers['code']?.[0] ?? '').trim().toUpperCase())).message }) },
      { kind: 'booking.proved', ack: 'update', right: 'visit', cafe: cafeOfEntry, take: proved },
      { kind: 'booking.also-direct', ack: 'update', right: 'visit', cafe: cafeOfEntry, take: alsoDirect },
      { kind: 'booking.unlink', ack: 'update', right: 'see', cafe: cafeOfEntry, take: unlink },
    ],
    notices: [{
      kind: TEST,
      show: ({ data }) =>
        read(store, async (tx) => {
          const told = data as TestTold;
          const entry = await technicianById(tx, told.technician);
          const cafe = entry && (await cafeById(tx, entry.cafe));
          if (!entry || !cafe || entry.state !== 'linked') return undefined;
          const say = words.in(entry.language ?? cafe.language);
          return message([fitted(say('booking.test', { cafe: cafe.name }))], [button(say('booking.button.proved'), press('booking.proved', entry.id), 'main')]);
        }),
    }],
    words: [{
      name: 'booking.link', order: 16,
      take: async (said: Said) => {
        const code = LINK.exec(said.text)?.[1]?.toUpperCase();
        return code === undefined ? undefined : takeCode(said, code);
      },
    }],
    buttons: async (tx, here, cafes) => {
      const say = words.in(here.locale);
      const mine = await entriesOfPerson(tx, here.by.id);
      const leave = await Promise.all(mine.slice(0, 3).map(async (entry) => button(label(say('booking.unlink.button', { cafe: (await cafeById(tx, entry.cafe))?.name ?? '' })), press('booking.unlink', entry.id))));
      const owned = (await Promise.all(cafes.map(async (cafe) => ((await mayIn(tx, cafe, here.by, 'own')) ? techniciansOf(tx, cafe) : [])))).flat();
      const link = owned.slice(0, 3).map((entry) => (entry.state === 'linked' ? button(label(say('booking.unlink.owner', { name: entry.name })), press('booking.unlink', entry.id)) : button(label(say('booking.link.button', { name: entry.name })), press('booking.link', entry.id))));
      return [link, leave].filter((row) => row.length > 0);
    },
  };
};
