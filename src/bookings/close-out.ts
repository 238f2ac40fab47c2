import type { DialogueKind, Here, Pressed, PressRoute, Said } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { isDirect } from '../chat/who.ts';
import { read } from '../store/transact.ts';
import { parseShim } from '../seals/record-input.ts';
import { KINDS } from '../seals/record-views.ts';
import { shortened } from '../words/format.ts';
import { roundOf, type FittedPart, type SealHow } from './booking-state.ts';
import { dangerWhileClosing, type DangerSaid } from './close-danger.ts';
import { createCloseWriting, WORD, WRITES_FOR, type CloseWritingNeeds } from './close-writing.ts';
import { draftOf, stepBefore, stepIn, type Draft, type Step } from './closing.ts';
import { fittedIn, isSeal, seated } from './fitted-words.ts';
import { bookingIn, fieldOf, wordsField } from './pressing.ts';
import { bookingById, bookingOf, type BookingRecord } from './records.ts';
import type { PartNames } from './part-words.ts';
import { sealSaid } from './seal-words.ts';
import { plainly } from './typed-meaning.ts';

/** A part that sits in a group as a seal does. */
const SCREEN = 'screen';
/** Longest word for the café: it has two lines in their message. */
const MOST_WORDS = 110;

export type CloseOutNeeds = CloseWritingNeeds & {
  /** What parts are called, so that a written one is the same as a pressed one. */
  readonly namesFor: (locale: string) => PartNames;
  /** Cause of the catalogue that goes by this name; undefined: words of their own. */
  readonly causeNamed: (locale: string, text: string) => string | undefined;
  /** The danger that these words tell of. */
  readonly dangerIn: (locale: string, text: string) => DangerSaid | undefined;
};

/** Asking what was found: three questions, each one press, all but the first may be left out. */
export const createCloseOut = ({ namesFor, causeNamed, dangerIn, ...needs }: CloseOutNeeds) => {
  const { store } = needs;
  const { redrawn, refusal, form, technician, say: sayOf } = needs.pressing;
  const { give, show, undraft, answered, withWords, doubted, undoubted, timer } = createCloseWriting(needs);

  const was = (cause: (pressed: Pressed) => string) => (pressed: Pressed) => answered((draft) => ({ ...draft, step: 'fitted', cause: cause(pressed) }), (before) => ({ ...before, cause: cause(pressed) }))(pressed);

  const written = (pressed: Pressed): readonly FittedPart[] => fittedIn(fieldOf(pressed, 'text', 80), namesFor(pressed.locale));

  /** Parts that sit in a group are of the one the fault is about, where none is named. */
  const groupFor = ({ part, group }: FittedPart, faulty: number | null): number | null => group ?? (isSeal({ part }) || part === SCREEN ? faulty : null);

  const withParts = async (pressed: Pressed, parts: readonly FittedPart[]): Promise<Answer> => {
    const group = await read(store, async (tx) => {
      const row = await bookingById(tx, bookingIn(pressed));
      return row?.case_id ? ((await tx.selectFrom('fault_case').select('group_number').where('id', '=', row.case_id).executeTakeFirst())?.group_number ?? null) : null;
    });
    const all = parts.map((part) => ({ ...part, group: groupFor(part, group) }));
    const sitsAsBefore = (before: readonly FittedPart[]): readonly FittedPart[] => all.map((one) => {
      const how = one.how ?? before.find(({ part }) => part === one.part)?.how;
      return how === undefined ? one : { ...one, how };
    });
    const asks = all.some((one) => isSeal(one) && one.how === undefined);
    return answered((draft) => ({ ...draft, step: asks ? 'seal' : 'words', fitted: all }), (before) => ({ ...before, fitted: sitsAsBefore(before.fitted) }))(pressed);
  };

  /** How the new seals sit; undefined: nobody looked. */
  const sits = (how: SealHow | undefined) => answered(
    (draft) => ({ ...draft, step: 'words', fitted: how === undefined ? draft.fitted : seated(draft.fitted, how) }),
    (before) => (how === undefined ? before : { ...before, fitted: seated(before.fitted, how) }),
  );

  /** Of the form: a shim in millimetres, which side up, and of what it is. */
  const sitsSaid = async (pressed: Pressed): Promise<Answer> => {
    const [material, side] = fieldOf(pressed, 'kind', 20).split('.');
    const shimMm = parseShim(fieldOf(pressed, 'shim', 12));
    if (shimMm === undefined) return redrawn(pressed, message([sayOf(pressed)('booking.t.seal.shim-unread')]));
    return sits({ sideUp: side === 'up' || side === 'down' ? side : null, shimMm, material: material === 'rubber' || material === 'silicone' ? material : null })(pressed);
  };

  const sealForm = (pressed: Pressed): Promise<Answer> => {
    const kinds = KINDS.map((value) => ({ value, label: sayOf(pressed)(`record.kind.${value}`) }));
    return form('booking.seal-said', 'booking.form.seal', wordsField('shim', 'record.form.shim', 12, { hint: 'record.form.shim.hint', optional: true }), { key: 'kind', label: 'record.form.kind', optional: true, answer: { kind: 'pick', most: 1, from: kinds } })(pressed);
  };

  const askCorrection = async (pressed: Pressed): Promise<Answer> => {
    const say = sayOf(pressed);
    const to = (kind: string, text: string) => button(say(text), press(kind, ...pressed.press.ids.slice(0, 2)));
    const state = await read(store, async (tx) => {
      const row = await bookingById(tx, bookingIn(pressed));
      return row && bookingOf(row).state;
    });
    const seal = state?.kind === 'finished' && state.closeOut.fitted.some(isSeal) ? [to('booking.redo-seal', 'booking.button.redo-seal')] : [];
    return { kind: 'private', message: message([say('booking.correct.ask')], [to('booking.redo-what', 'booking.button.redo-what'), to('booking.redo-fitted', 'booking.button.redo-fitted')], [...seal, to('booking.redo-words', 'booking.button.redo-words')]) };
  };

  /** Asked from a message of its own; the answer is given on the booking's message. */
  const redo = (step: Step) => async (pressed: Pressed): Promise<Answer> => {
    await show(step)(pressed);
    return { kind: 'redraw', message: message([sayOf(pressed)('booking.correct.above')]) };
  };

  const isOneOf = (said: Pick<Said, 'locale' | 'text'>, key: string): boolean => sayOf(said)(key).split('|').includes(plainly(said.text));

  const sealTyped = async (pressed: Pressed, text: string): Promise<Answer> => {
    const { how } = sealSaid(text, namesFor(pressed.locale).how);
    return how ? sits(how)(pressed) : { kind: 'say', message: message([sayOf(pressed)('booking.t.seal.unread')]) };
  };

  /** What is typed answers the question on show; the next one comes below it. */
  const typed = async (here: Here, text: string, row: BookingRecord, draft: Draft | null): Promise<Answer | undefined> => {
    const pressed: Pressed = { ...here, press: press(WORD, row.id, String(roundOf(bookingOf(row)))), picked: [], pickedNames: {}, answers: { text: [text] }, attachments: [] };
    const said = { locale: here.locale, text };
    if (isOneOf(said, 'booking.words.back')) return draft === null || draft.step === 'what' || bookingOf(row).state.kind === 'finished' ? undraft(pressed) : show(stepBefore(draft))(pressed);
    if (draft?.step === 'what') return was(() => causeNamed(here.locale, text) ?? fieldOf(pressed, 'text', 60))(pressed);
    if (draft?.step === 'fitted') return withParts(pressed, isOneOf(said, 'booking.words.nothing') ? [] : written(pressed));
    if (draft?.step === 'seal') return isOneOf(said, 'booking.words.skip') ? sits(undefined)(pressed) : sealTyped(pressed, text);
    const done = await withWords(pressed, isOneOf(said, 'booking.words.skip') ? null : shortened(text.replace(/\s+/g, ' '), MOST_WORDS));
    return done ? { kind: 'noted' } : undefined;
  };

  /** A burnt plug that was changed is no fire; a plug that sparks now is. Which of the two is asked before anything is written. */
  const askDanger = async (said: Said, row: BookingRecord, kind: string): Promise<Answer> => {
    const say = sayOf(said);
    await doubted(row, said.text);
    return { kind: 'say', message: message([say('booking.danger.ask')], [button(say('booking.danger.now'), press('danger.which', kind), 'danger'), button(say('booking.danger.found'), press('booking.found', row.id, String(roundOf(bookingOf(row)))))]) };
  };

  const found = async (pressed: Pressed): Promise<Answer> => {
    const doubt = await undoubted(pressed);
    const row = await read(store, (tx) => bookingById(tx, bookingIn(pressed)));
    const answer = row && doubt !== undefined ? await typed(pressed, doubt, row, draftOf(row)) : undefined;
    return answer === undefined || answer.kind === 'noted' ? redrawn(pressed) : answer;
  };

  /** An old message may still show the way back when all is written: then there is nothing to go back to. */
  const stepBack = async (pressed: Pressed): Promise<Answer> => {
    const row = await read(store, (tx) => bookingById(tx, bookingIn(pressed)));
    return row && bookingOf(row).state.kind === 'finished' ? undraft(pressed) : show(stepIn(pressed.press.ids[2]))(pressed);
  };

  const presses: readonly PressRoute[] = [
    technician('booking.found', found),
    technician('booking.undraft', undraft),
    technician('booking.step', stepBack),
    technician('booking.finish', show('what')),
    technician('booking.was', was((pressed) => pressed.press.ids[2] ?? '')),
    technician('booking.what', form('booking.what-said', 'booking.form.what', wordsField('text', 'booking.form.what-ask', 60)), 'form'),
    technician('booking.what-said', was((pressed) => fieldOf(pressed, 'text', 60))),
    technician('booking.with', (pressed) => withParts(pressed, pressed.press.ids[2] === '-' ? [] : pressed.press.ids.slice(2).map((part) => ({ part, count: 1, group: null })))),
    technician('booking.fitted', form('booking.fitted-said', 'booking.form.fitted', wordsField('text', 'booking.form.fitted-ask', 80)), 'form'),
    technician('booking.fitted-said', (pressed) => withParts(pressed, written(pressed))),
    technician('booking.sits', (pressed) => sits(pressed.press.ids[2] === 'up' || pressed.press.ids[2] === 'down' ? { sideUp: pressed.press.ids[2], shimMm: null, material: null } : undefined)(pressed)),
    technician('booking.seal', sealForm, 'form'),
    technician('booking.seal-said', sitsSaid),
    technician('booking.words', form('booking.words-said', 'booking.form.words', wordsField('text', 'booking.form.words-ask', MOST_WORDS, { long: true })), 'form'),
    technician('booking.words-said', async (pressed) => redrawn(pressed, refusal(pressed, await withWords(pressed, fieldOf(pressed, 'text', MOST_WORDS))))),
    technician('booking.enough', async (pressed) => redrawn(pressed, refusal(pressed, await withWords(pressed, null)))),
    technician('booking.correct', askCorrection, 'private'),
    technician('booking.redo-what', redo('what')),
    technician('booking.redo-fitted', redo('fitted')),
    technician('booking.redo-seal', redo('seal')),
    technician('booking.redo-words', redo('words')),
  ];

  /**
   * Answers are typed straight into the chat and taken as they stand, soon after the question: later on, words are about
   * something else. A danger goes before them.
   */
  const dialogue: DialogueKind = {
    kind: WORD,
    verbatim: () => true,
    take: async (said, { ref }) => {
      const [id = '', askedAt = ''] = ref.split(' ');
      const row = await read(store, (tx) => bookingById(tx, id));
      // In a channel people talk with each other as well.
      if (said.text === '' || !row || !(said.addressed || isDirect(said.at)) || said.now > Number(askedAt) + WRITES_FOR) return undefined;
      const danger = dangerWhileClosing(sayOf(said), said.text, (text) => dangerIn(said.locale, text));
      if (danger?.when === 'now') return undefined;
      return danger ? askDanger(said, row, danger.kind) : typed(said, said.text, row, draftOf(row));
    },
    again: async () => undefined,
  };

  return { presses, dialogue, timer, give };
};

export type CloseOuts = ReturnType<typeof createCloseOut>;
