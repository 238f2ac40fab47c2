import { readMachineFacts } from '../cafe/machine-facts.ts';
import type { Here, Pressed } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message } from '../chat/message.ts';
import type { Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { instant, type Instant } from '../time/instant.ts';
import { toDay } from '../time/local-date.ts';
import { dateAt, instantOfDay } from '../time/wall-time.ts';
import { fitScreen } from './fit-screen.ts';
import { staffMayChange, type LookDesk } from './look-desk.ts';
import { readSealForm, type SealInput } from './record-input.ts';
import { createSpots, type Spot } from './record-spot.ts';
import { screenNotedMessage } from './record-screen-view.ts';
import { oldOneMessage, problemMessage } from './record-views.ts';
import { endPlan, factsFollow, fittingById, fittingIn, insertFitting, insertReading, noteCameOut, recordOf, supersedeFitting, takeOut, type Fitting } from './records.ts';
import { putBackOnShelf, takeStack, type Fitted, type FittedStack, type Stack } from './shelf.ts';

const NOON = 12 * 60;

const takenFor = (row: Fitting): Fitted & FittedStack => ({ id: row.id, cafe: row.cafe, sealMm: row.size_mm, shimMm: row.shim_mm, at: instant(row.fitted_at ?? row.at), by: { id: row.by_person, name: row.by_name } });

/** What went in, what came out and how, written down and corrected; the old line stays. */
export const createRecordWriting = (desk: LookDesk) => {
  const { store, words, ids } = desk.needs;
  const { none, spotOf, groupNow } = createSpots(desk);

  const rowOf = (spot: Spot, by: Here, input: SealInput, id: string, fallback: Instant | null): Fitting => ({
    id, cafe: spot.cafe.id, machine: spot.machine.id, group_number: spot.group, part: 'seal',
    fitted_at: input.date === null ? fallback : input.date === dateAt(by.now, spot.cafe.zone) ? by.now : instantOfDay(toDay(input.date), NOON, spot.cafe.zone), met_at: by.now, out_at: null,
    size_mm: input.sizeMm, outside_mm: input.outsideMm, inside_mm: input.insideMm, profile: input.profile, material: input.material, side_up: input.sideUp, shim_mm: input.shimMm,
    fixing: null, why_out: null, came_out: null, by_person: by.by.id, by_name: by.by.name, at: by.now, superseded_by: null,
  });

  /** A new seal goes in: the one before is out from then on. Returns the id of the old line, if there was one. */
  const fitNew = async (tx: Tx, spot: Spot, rowFor: (id: string) => Fitting, now: Instant, leaked: boolean, id?: string): Promise<string> => {
    const { machine, group: number } = spot;
    const before = fittingIn(await recordOf(tx, machine.id), number, 'seal');
    const old = before?.id ?? ids(now);
    const row = rowFor(id ?? ids(now));
    const at = row.fitted_at ?? row.at;
    // A seal nobody wrote down gets its line now that it is out: how it was tells of lives here.
    if (!before) await insertFitting(tx, { ...row, id: old, fitted_at: null, met_at: Math.min(machine.created_at, at), size_mm: readMachineFacts(machine.facts).seal ?? null, shim_mm: readMachineFacts(machine.facts).shim ?? null, outside_mm: null, inside_mm: null, profile: null, material: null, side_up: null });
    await desk.needs.moved(tx, spot.cafe.id, now);
    await takeOut(tx, old, at, leaked ? 'leaked' : 'due', 'not-looked');
    await insertFitting(tx, row);
    await takeStack(tx, takenFor(row));
    await endPlan(tx, machine.id, number);
    await factsFollow(tx, machine, await desk.groupNumbers(tx, machine.id));
    return old;
  };

  const write = (correct: boolean) => async (pressed: Pressed): Promise<Answer> => {
    const spot = await read(store, (tx) => spotOf(tx, pressed.press.ids));
    if (!spot) return { kind: 'redraw', message: none(pressed) };
    const show = desk.show(spot.cafe, pressed.locale);
    const given = readSealForm(pressed.answers, dateAt(pressed.now, spot.cafe.zone), pressed.locale);
    if (!given.ok) return { kind: 'redraw', message: problemMessage(show, pressed.press.ids.slice(0, 2), given.problem, correct) };
    const stack = { sealMm: given.input.sizeMm, shimMm: given.input.shimMm };
    return transact(store, [spot.cafe.id], async (tx): Promise<Answer> => {
      if (!correct) {
        const old = await fitNew(tx, spot, (id) => rowOf(spot, pressed, given.input, id, pressed.now), pressed.now, false);
        return { kind: 'redraw', message: oldOneMessage(show, spot.group, stack, old, spot.machine.id) };
      }
      const id = ids(pressed.now);
      const before = fittingIn(await recordOf(tx, spot.machine.id), spot.group, 'seal');
      const row = rowOf(spot, pressed, given.input, id, null);
      await insertFitting(tx, { ...row, met_at: before?.met_at ?? spot.machine.created_at });
      if (before) {
        await supersedeFitting(tx, before.id, id);
        await putBackOnShelf(tx, { ...takenFor(before), at: pressed.now });
        // Only what was written down as going in was ever taken from the shelf.
        if (before.fitted_at !== null) await takeStack(tx, takenFor(row));
      }
      await factsFollow(tx, spot.machine, await desk.groupNumbers(tx, spot.machine.id));
      return { kind: 'redraw', message: oldOneMessage(show, spot.group, stack, null, spot.machine.id) };
    });
  };

  /** The card is done, and the size that was in before went in, or the one that was advised: one press writes it down. */
  const oneOf = (which: 'same' | 'advised') => async (pressed: Pressed): Promise<Answer> => {
    const spot = await read(store, (tx) => spotOf(tx, pressed.press.ids));
    if (!spot) return { kind: 'redraw', message: none(pressed) };
    return transact(store, [spot.cafe.id], async (tx): Promise<Answer> => {
      const now = await groupNow(tx, spot, pressed.now);
      const seal = now?.history.seals.findLast(({ outAt }) => outAt === null);
      const before = fittingIn(await recordOf(tx, spot.machine.id), spot.group, 'seal');
      // Pressed twice, it went in once.
      const id = pressed.shown?.key ?? ids(pressed.now);
      if (await fittingById(tx, id)) return { kind: 'noted' };
      const told = pressed.shown?.data as { readonly leaked?: boolean; readonly advised?: Stack } | undefined;
      const stack = which === 'advised' ? told?.advised : seal?.sizeMm == null ? undefined : { sealMm: seal.sizeMm, shimMm: seal.shimMm ?? 0 };
      if (!now || !stack) return { kind: 'redraw', message: none(pressed) };
      const input: SealInput = { sizeMm: stack.sealMm, shimMm: stack.shimMm, date: null, outsideMm: before?.outside_mm ?? null, insideMm: before?.inside_mm ?? null, profile: before?.profile ?? null, material: seal?.material ?? null, sideUp: before?.side_up === 'up' || before?.side_up === 'down' ? before.side_up : null };
      const old = await fitNew(tx, spot, () => rowOf(spot, pressed, input, id, pressed.now), pressed.now, told?.leaked === true, id);
      return { kind: 'redraw', message: oldOneMessage(desk.show(spot.cafe, pressed.locale), spot.group, stack, old, spot.machine.id) };
    });
  };

  const old = async (pressed: Pressed): Promise<Answer> => {
    const [id = '', word = ''] = pressed.press.ids;
    const row = await read(store, (tx) => fittingById(tx, id));
    if (!row || !['sound', 'bad', 'not-looked'].includes(word)) return { kind: 'redraw', message: none(pressed) };
    await transact(store, [row.cafe], (tx) => noteCameOut(tx, id, word));
    return { kind: 'redraw', message: message([words.in(pressed.locale)('record.old.noted')]) };
  };

  const screenIs = async (pressed: Pressed): Promise<Answer> => {
    const word = pressed.press.ids[2] ?? '';
    const spot = await read(store, (tx) => spotOf(tx, pressed.press.ids));
    if (!spot || !['new', 'blocked', 'dented', 'turning'].includes(word)) return { kind: 'redraw', message: none(pressed) };
    await transact(store, [spot.cafe.id], async (tx) => {
      const id = ids(pressed.now);
      if (word === 'new') return fitScreen(tx, id, spot.machine, spot.group, { person: pressed.by.id, name: pressed.by.name }, pressed.now);
      const by = { by_person: pressed.by.id, by_name: pressed.by.name, at: pressed.now, superseded_by: null };
      await insertReading(tx, { id, cafe: spot.cafe.id, machine: spot.machine.id, group_number: spot.group, ...by, look: null, what: 'screen', value: word, machine_state: 'cold' });
    });
    return { kind: 'redraw', message: screenNotedMessage(desk.show(spot.cafe, pressed.locale), { cafe: spot.cafe.id, machine: spot.machine.id, group: spot.group, seen: word, held: readMachineFacts(spot.machine.facts).screen, mayOpen: staffMayChange(spot.machine) }) };
  };

  /** Refitted: nothing new went in. */
  const kept = async (pressed: Pressed): Promise<Answer> => ({ kind: 'redraw', message: message([words.in(pressed.locale)('record.kept', { group: Number(pressed.press.ids[1]) })]) });

  return { write, same: oneOf('same'), advised: oneOf('advised'), kept, old, screenIs };
};
