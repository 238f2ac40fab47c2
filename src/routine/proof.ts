import { keepPhotos, keptFor, keptPicture } from '../cafe/kept-files.ts';
import { cafeById } from '../cafe/records.ts';
import type { NoticeKind, Pressed, PressRoute } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { placeId } from '../chat/who.ts';
import type { Files } from '../store/files.ts';
import type { Ids } from '../store/id.ts';
import { post, redraw } from '../store/post.ts';
import type { Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { instant, type Instant } from '../time/instant.ts';
import { clockTime, dateAndTime, shortened } from '../words/format.ts';
import { jobShort } from './job-name.ts';
import type { DoneNeeds, ListDesk } from './list-desk.ts';
import { proofKey } from './thanks.ts';
import { dutyById, occurrenceById, setDuty, type Occurrence, type Reminder } from './records.ts';

const PROOF = 'routine.proof';
const MOST_NOTE = 120;
/** So many of the last ones the owner is shown at once. */
const MOST_SHOWN = 3;

const isProof = (text: string | null | undefined): text is 'note' | 'photo' => text === 'note' || text === 'photo';

/** A job that was done and whose owner asks for a note or a photo with it: asked for once, where the list stands. */
export const askProofs = async (tx: Tx, ids: Ids, reminder: Reminder, done: readonly Occurrence[], now: Instant): Promise<void> => {
  for (const row of done) {
    if (!isProof((await dutyById(tx, row.duty))?.proof)) continue;
    await post(tx, ids, now, { key: proofKey(row.id), cafe: row.cafe, place: placeId(reminder.place), kind: PROOF, data: { occurrence: row.id }, priority: 'answer', silent: true });
  }
};

/** Notes and photos that an owner wants with a job: asked for, kept, looked at. */
export const proofs = ({ store, words, ids, files }: DoneNeeds & { readonly files: Files }, { cafeOfOccurrence }: ListDesk): { readonly presses: readonly PressRoute[]; readonly notices: readonly NoticeKind[] } => {
  const draw = (occurrence: string, locale?: string): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const row = await occurrenceById(tx, occurrence);
      const [cafe, duty] = row ? [await cafeById(tx, row.cafe), await dutyById(tx, row.duty)] : [];
      if (!row || !cafe || !duty) return undefined;
      const say = words.in(locale ?? cafe.language);
      const job = jobShort(say, row.job, row.group_number);
      if (row.state !== 'done') return message([say('routine.back.done')]);
      if (row.note !== null || (await keptFor(tx, 'job', row.id)).length > 0) return message([say('routine.proof.kept', { job, time: clockTime(instant(row.done_at ?? 0), { locale: locale ?? cafe.language, zone: cafe.zone }), name: row.by_name ?? '' })]);
      if (!isProof(duty.proof)) return undefined;
      return message([say('routine.proof.wanted', { job, proof: duty.proof })], [button(say(`routine.proof.add-${duty.proof}`), press('routine.proof-add', row.id), 'main')]);
    });

  const form = async (pressed: Pressed): Promise<Answer> => {
    const [id = ''] = pressed.press.ids;
    const say = words.in(pressed.locale);
    const proof = await read(store, async (tx) => (await dutyById(tx, (await occurrenceById(tx, id))?.duty ?? ''))?.proof);
    if (!isProof(proof)) return { kind: 'private', message: message([say('chat.tooOld')]) };
    const label = say(`routine.proof.add-${proof}`);
    return { kind: 'form', form: { title: label, submit: press('routine.proof-sent', id), questions: [{ key: proof, label, answer: proof === 'photo' ? { kind: 'photos', most: MOST_SHOWN } : { kind: 'words', most: MOST_NOTE } }] } };
  };

  const take = async (pressed: Pressed): Promise<Answer> => {
    const [id = ''] = pressed.press.ids;
    const say = words.in(pressed.locale);
    const row = await read(store, (tx) => occurrenceById(tx, id));
    if (!row) return { kind: 'redraw', message: message([say('chat.tooOld')]) };
    const note = shortened((pressed.answers['note']?.[0] ?? '').trim(), MOST_NOTE);
    const kept = await keepPhotos({ store, ids, files }, { cafe: row.cafe, about: 'job', ref: id }, pressed.by, pressed.now, pressed.attachments);
    const [key, none] = [proofKey(id), note === '' && kept.length === 0];
    const version = await transact(store, [row.cafe], async (tx) => {
      if (note !== '') await tx.updateTable('occurrence').set({ note }).where('id', '=', id).execute();
      return none ? undefined : redraw(tx, key, pressed.now, pressed.shown?.key === key);
    });
    const drawn = none ? undefined : await draw(id, pressed.shown?.key === key ? undefined : pressed.locale);
    if (drawn && version !== undefined && pressed.shown?.key === key) return { kind: 'redraw', message: drawn, shows: { key, version } };
    return { kind: 'redraw', message: drawn ?? message([say('ask.photos.refused')], [button(say('routine.proof.add-photo'), press('routine.proof-add', id))]) };
  };

  const choose = async (pressed: Pressed): Promise<Answer> => {
    const [id = '', chosen] = pressed.press.ids;
    const say = words.in(pressed.locale);
    const duty = await read(store, (tx) => dutyById(tx, id));
    if (!duty) return { kind: 'redraw', message: message([say('chat.tooOld')]) };
    if (chosen !== undefined) await transact(store, [duty.cafe], (tx) => setDuty(tx, id, { proof: isProof(chosen) ? chosen : null, rev: duty.rev + 1 }));
    const now = chosen === undefined ? duty.proof : chosen;
    const to = (proof: string) => button(say(`routine.proof.${proof}`), press('routine.proof-set', id, proof));
    return { kind: 'redraw', message: message([say('routine.proof.ask', { proof: isProof(now) ? now : 'none' })], [to('none'), to('note'), to('photo')], [button(say('routine.proof.look'), press('routine.proof-look', id)), button(say('routine.change.back'), press('routine.job-again', id))]) };
  };

  const look = async (pressed: Pressed): Promise<Answer> =>
    read(store, async (tx): Promise<Answer> => {
      const duty = await dutyById(tx, pressed.press.ids[0] ?? '');
      const cafe = duty && (await cafeById(tx, duty.cafe));
      const say = words.in(pressed.locale);
      const rows = duty ? await tx.selectFrom('occurrence').selectAll().where('duty', '=', duty.id).where('state', '=', 'done').orderBy('due_at', 'desc').limit(30).execute() : [];
      const found = [];
      for (const row of rows) {
        const photos = await keptFor(tx, 'job', row.id);
        if ((row.note !== null || photos.length > 0) && found.length < MOST_SHOWN) found.push({ row, photos });
      }
      if (!cafe || found.length === 0) return { kind: 'private', message: message([say('routine.proof.nothing')]) };
      const when = (row: Occurrence): string => dateAndTime(instant(row.done_at ?? row.due_at), { locale: pressed.locale, zone: cafe.zone });
      const lines = found.map(({ row, photos }) => shortened(`${when(row)}, ${row.by_name ?? ''}: ${row.note ?? say('routine.proof.photos', { count: photos.length })}`, 64));
      const pictures = found.flatMap(({ row, photos }) => photos.map((photo) => keptPicture(files, photo, `${when(row)}, ${photo.by_name}`)));
      return { kind: 'private', message: { ...message(lines), ...(pictures.length > 0 ? { pictures: pictures.slice(0, 8) } : {}) } };
    });

  const cafeOfDuty: PressRoute['cafe'] = async (tx, given) => (await dutyById(tx, given.ids[0] ?? ''))?.cafe;
  return {
    presses: [
      { kind: 'routine.proof-add', ack: 'form', right: 'answer', cafe: cafeOfOccurrence, take: form },
      { kind: 'routine.proof-sent', ack: 'update', right: 'answer', cafe: cafeOfOccurrence, take },
      { kind: 'routine.proof-set', ack: 'update', right: 'own', cafe: cafeOfDuty, take: choose },
      { kind: 'routine.proof-look', ack: 'private', right: 'own', cafe: cafeOfDuty, take: look },
    ],
    notices: [{ kind: PROOF, show: ({ data }) => draw((data as { occurrence: string }).occurrence) }],
  };
};
