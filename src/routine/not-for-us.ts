import { cafeById, ownersOf } from '../cafe/records.ts';
import { mayIn } from '../cafe/rights.ts';
import type { NoticeKind, Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, line, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { direct, personId, placeId } from '../chat/who.ts';
import { post } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { inLines, shortened } from '../words/format.ts';
import { isOpen, type JobState } from './answer.ts';
import { shortOf } from './job-name.ts';
import { by, type DoneNeeds, type ListDesk } from './list-desk.ts';
import { machineNumbers } from './machine-numbers.ts';
import { redrawList } from './thanks.ts';
import { dutyById, occurrenceById, setDuty, writeChanges, type Duty } from './records.ts';

const PROPOSED = 'routine.proposed';
type Proposed = { readonly duty: string; readonly name: string };

/** "Not for us": the bar proposes, the owner decides; until then the job stays. */
export const notForUs = ({ store, words, ids }: DoneNeeds, { openJobs, cafeOfReminder }: ListDesk): { readonly presses: readonly PressRoute[]; readonly notices: readonly NoticeKind[] } => {
  const ask = async (pressed: Pressed): Promise<Answer> => {
    const say = words.in(pressed.locale);
    const id = pressed.press.ids[0] ?? '';
    const open = await openJobs(id);
    if (open.length === 0) return { kind: 'redraw', message: message([say('routine.gone')]) };
    const numbers = await read(store, (tx) => machineNumbers(tx, open[0]?.cafe ?? ''));
    const from = open.slice(0, 25).map((row) => ({ value: row.id, label: `${row.position} ${shortOf(say, row, numbers)}` }));
    return { kind: 'redraw', message: message([say('routine.not-for-us.which'), say('routine.not-for-us.owner')], { ask: say('routine.not-for-us.which'), press: press('routine.propose', id), from }) };
  };

  /** To owners who may be written to, or where they want to hear what is not for the bar. */
  const tellOwners = async (tx: Tx, duty: Duty, pressed: Pressed): Promise<boolean> => {
    const cafe = await cafeById(tx, duty.cafe);
    const owners = (await ownersOf(tx, duty.cafe)).filter(({ direct_ok }) => direct_ok === 1).map(({ person }) => direct(personId(person ?? '')));
    const places = cafe?.owner_place ? [placeId(cafe.owner_place)] : owners;
    for (const place of places) await post(tx, ids, pressed.now, { key: `${PROPOSED}.${duty.id}.${place}.${pressed.event}`, cafe: duty.cafe, place, kind: PROPOSED, data: { duty: duty.id, name: pressed.by.name } satisfies Proposed, priority: 'other', silent: true });
    return places.length > 0;
  };

  const propose = async (pressed: Pressed): Promise<Answer> => {
    const say = words.in(pressed.locale);
    const row = await read(store, (tx) => occurrenceById(tx, pressed.picked[0] ?? ''));
    if (!row) return { kind: 'redraw', message: message([say('routine.gone')]) };
    return transact(store, [row.cafe], async (tx): Promise<Answer> => {
      const job = shortOf(say, row, await machineNumbers(tx, row.cafe));
      const duty = await dutyById(tx, row.duty);
      if (!duty || row.reminder !== pressed.press.ids[0]) return { kind: 'redraw', message: message([say('routine.gone')]) };
      if (await mayIn(tx, row.cafe, pressed.by, 'own')) return { kind: 'redraw', message: decide(duty, job, pressed.locale, pressed.by.name) };
      const told = await tellOwners(tx, duty, pressed);
      return { kind: 'redraw', message: message([...inLines(say(told ? 'routine.not-for-us.told' : 'routine.not-for-us.nobody', { job })), say('routine.not-for-us.owner')]) };
    });
  };

  const decide = (duty: Duty, job: string, locale: string, name: string): Message => {
    const say = words.in(locale);
    return message([...inLines(say('routine.proposed', { name: shortened(name, 20), job })).map((text) => line(text, 'strong')), say('routine.proposed.ask')], [
      button(say('routine.change.off'), press('routine.take-out', duty.id)), button(say('routine.proposed.change'), press('routine.job-again', duty.id)), button(say('routine.proposed.keep'), press('routine.keep-in', duty.id)),
    ]);
  };

  const takeOut = async (pressed: Pressed): Promise<Answer> => {
    const [id = ''] = pressed.press.ids;
    const say = words.in(pressed.locale);
    const cafe = (await read(store, (tx) => dutyById(tx, id)))?.cafe;
    if (cafe === undefined) return { kind: 'redraw', message: message([say('chat.tooOld')]) };
    return transact(store, [cafe], async (tx): Promise<Answer> => {
      const duty = await dutyById(tx, id);
      if (!duty) return { kind: 'redraw', message: message([say('chat.tooOld')]) };
      await setDuty(tx, id, { active: 0, switched_off: 1, next_due: null, rev: duty.rev + 1 });
      const open = (await tx.selectFrom('occurrence').selectAll().where('duty', '=', id).where('state', 'in', ['due', 'later', 'part done']).execute()).filter((row) => isOpen(row.state as JobState));
      await writeChanges(tx, open.map((row) => ({ id: row.id, to: 'not for us' as const })), by(pressed), pressed.now);
      for (const reminder of new Set(open.map((row) => row.reminder))) await redrawList(tx, reminder, pressed.now);
      return { kind: 'redraw', message: message([say('routine.taken-out', { job: shortOf(say, duty, await machineNumbers(tx, duty.cafe)) })], [button(say('routine.change.on'), press('routine.change', id, 'on'))]) };
    });
  };

  const cafeOfDuty: PressRoute['cafe'] = async (tx, given) => (await dutyById(tx, given.ids[0] ?? ''))?.cafe;
  return {
    presses: [
      { kind: 'routine.not-for-us', ack: 'update', right: 'answer', cafe: cafeOfReminder, take: ask },
      { kind: 'routine.propose', ack: 'update', right: 'answer', cafe: cafeOfReminder, take: propose },
      { kind: 'routine.take-out', ack: 'update', right: 'own', cafe: cafeOfDuty, take: takeOut },
      { kind: 'routine.keep-in', ack: 'update', right: 'own', cafe: cafeOfDuty, take: async (pressed) => ({ kind: 'redraw', message: message([words.in(pressed.locale)('routine.kept-in')]) }) },
    ],
    notices: [{
      kind: PROPOSED,
      show: ({ data, cafe }) =>
        read(store, async (tx) => {
          const told = data as Proposed;
          const duty = await dutyById(tx, told.duty);
          const row = cafe === null ? undefined : await cafeById(tx, cafe);
          return duty && row && duty.switched_off === 0 ? decide(duty, shortOf(words.in(row.language), duty, await machineNumbers(tx, duty.cafe)), row.language, told.name) : undefined;
        }),
    }],
  };
};
