import { pino } from 'pino';
import { describe, expect, test } from 'vitest';
import { seedDemo } from '../../../src/cafe/demo.ts';
import type { Answer } from '../../../src/chat/incoming.ts';
import { isChoice, message, plain, type Message } from '../../../src/chat/message.ts';
import { press, type Press } from '../../../src/chat/press.ts';
import { channel, personId, type Person } from '../../../src/chat/who.ts';
import { readCatalogue } from '../../../src/faults/catalogue-read.ts';
import { createRouter } from '../../../src/router.ts';
import { cardsTrace } from '../../../src/seals/card-traces.ts';
import { createCards } from '../../../src/seals/card.ts';
import { readComplaints } from '../../../src/seals/card-complaints.ts';
import type { CardFinished, CardForTechnician, CardWrong } from '../../../src/seals/card-desk.ts';
import { createIds } from '../../../src/store/id.ts';
import type { Store } from '../../../src/store/store.ts';
import { read, transact } from '../../../src/store/transact.ts';
import { rehearsalClock } from '../../../src/time/clock.ts';
import { instant, later, minutes } from '../../../src/time/instant.ts';
import { databases } from '../../store/databases.ts';
import { book, words } from './config.ts';

const complaints = readComplaints('config/complaints.yaml', readCatalogue('config/faults').symptoms.map(({ id }) => id));
const BAR = channel('bar');
const someone = (name: string, roles: readonly string[] = ['bar']): Person => ({ id: personId(name.toLowerCase()), name, roles, manages: false });
const [sam, mia, phone, stranger] = [someone('Sam'), someone('Mia'), someone('Phone'), someone('Stranger', [])] as const;

const textOf = (message: Message): string => [...(message.title === undefined ? [] : [plain(message.title)]), ...message.lines.map((line) => plain(line.text))].join('\n');
const labelsOf = (message: Message): readonly string[] => (message.rows ?? []).flatMap((row) => (isChoice(row) ? [] : row.map(({ label }) => label)));
const pressOf = (message: Message, label: string): Press => {
  const found = (message.rows ?? []).flatMap((row) => (isChoice(row) ? [] : row)).find((each) => each.label === label);
  if (!found || !('press' in found)) throw new Error(`no button "${label}" under "${textOf(message)}"`);
  return found.press;
};
const privateOf = (answer: Answer | undefined): Message => {
  const message = answer && 'private' in answer && answer.private ? answer.private : answer && 'message' in answer ? answer.message : undefined;
  if (!message) throw new Error('nothing was answered');
  return message;
};

/** The demo café before opening on a Thursday, with the conversation about cards and nothing else. */
const open = async (store: Store, start = '2027-03-11T06:30:00+01:00') => {
  const clock = rehearsalClock(instant(Date.parse(start)), 0);
  const ids = createIds();
  const told: { readonly finished: CardFinished[]; readonly wrong: CardWrong[]; readonly technician: CardForTechnician[] } = { finished: [], wrong: [], technician: [] };
  const cards = createCards({
    store, words, ids, book, lexicons: new Map(),
    finished: async (_, each) => void told.finished.push(each),
    wrong: async (_, each) => {
      told.wrong.push(each);
      return each.caseId;
    },
    complaints,
    forTechnician: async (_, each) => {
      told.technician.push(each);
      return `case-${told.technician.length}`;
    },
    askBooking: async (_, caseId) => ({ kind: 'private', message: message([`When for ${caseId}?`]) }),
  });
  const router = createRouter({ store, words, ids, clock, log: pino({ level: 'silent' }), subjects: [cards], wake: () => undefined });
  const cafe = (await transact(store, [], (tx) => seedDemo(tx, ids, clock.now(), async () => undefined))) ?? '';
  const machine = (await read(store, (tx) => tx.selectFrom('machine').select('id').executeTakeFirstOrThrow())).id;
  let n = 0;
  const presses = (by: Person, what: Press): Promise<Answer | undefined> => router.take({ kind: 'press', id: `e${n++}`, by, at: BAR, press: what });
  const runs = () => read(store, (tx) => tx.selectFrom('card_run').selectAll().orderBy('id').execute());
  const shown = async (run: string): Promise<Message> => {
    const notice = cards.notices?.find(({ kind }) => kind === 'card');
    const message = await notice?.show({ data: { run }, cafe, place: BAR, now: clock.now() });
    if (!message) throw new Error('the card is not shown');
    return message;
  };
  const mark = (by: { readonly person: string | null; readonly name: string }, job: string) =>
    transact(store, [cafe], (tx) => tx.insertInto('card_shown').values({ id: ids(clock.now()), cafe, job, ...by, how: 'marked', marked_by: 'ola', marked_name: 'Ola', at: clock.now() }).execute());
  const set = (facts: Record<string, unknown>) => transact(store, [cafe], (tx) => tx.updateTable('machine').set({ facts: JSON.stringify(facts) }).where('id', '=', machine).execute());
  return { store, clock, cards, cafe, machine, told, presses, runs, shown, mark, set };
};

type House = Awaited<ReturnType<typeof open>>;

const start = (job: string, group = '1', caseId = '-') => (house: House): Press => press('card.start', house.cafe, job, group, caseId);

/** Begins a card and returns its id. */
const begin = async (house: House, by: Person, job: string, group = '1', caseId = '-'): Promise<string> => {
  const answer = await house.presses(by, start(job, group, caseId)(house));
  const run = (await house.runs()).at(-1);
  if (run?.job !== job || run.doer_person !== by.id) throw new Error(`not begun: ${answer ? textOf(privateOf(answer)) : ''}`);
  return run.id;
};

/** Presses what stands under the card, by label, reading its cautions on to their end. */
const on = async (house: House, by: Person, run: string, ...labels: readonly string[]): Promise<Answer | undefined> => {
  let answer: Answer | undefined;
  for (const label of labels) {
    const message = await house.shown(run);
    const state = (await house.runs()).find(({ id }) => id === run);
    const pressed = labelsOf(message).includes('Read on') && label !== "Something's wrong" ? press(label === 'Not yet' || label === 'Not now' ? 'card.not-yet' : 'card.ready', run, String(state?.screen)) : pressOf(message, label);
    answer = await house.presses(by, pressed);
  }
  return answer;
};

const times = (n: number, label: string): readonly string[] => Array.from({ length: n }, () => label);
const OFF = 'Off cool no pressure';

describe.each(databases)('job cards on a store ($name)', (database) => {
  test('what came of a card is told in the transaction that stores it, with the case and the job it was opened for', async () => {
    const house = await open(await database.open());
    await house.set({ screen: 'screw' });
    await house.mark({ person: 'sam', name: 'Sam' }, 'seal-screw');
    const answer = await house.presses(sam, start('seal-any', '2', 'case1')(house));
    expect(answer).toMatchObject({ kind: 'redraw' });
    const [run] = await house.runs();
    expect(run).toMatchObject({ job: 'seal-screw', for_job: 'seal-any', group_number: 2, case_id: 'case1', doer_name: 'Sam', apart: 0 });
    await on(house, sam, run?.id ?? '', OFF, ...times(9, 'Next'), 'Ready', ...times(3, 'Next'), 'Dry');
    expect(house.told.finished).toMatchObject([{ cardRun: run?.id, job: 'seal-any', card: 'seal-screw', group: 2, caseId: 'case1', result: 'cured', answer: 'dry', when: 'end', by: { name: 'Sam' } }]);
    expect(await read(house.store, (tx) => tx.selectFrom('card_check').select(['asked_when', 'answer', 'leads', 'by_name']).execute())).toEqual([{ asked_when: 'end', answer: 'dry', leads: 'cured', by_name: 'Sam' }]);
    // The case asks by itself in the quiet hour and after a week; two shots are the card's own.
    expect(await read(house.store, (tx) => tx.selectFrom('timer').select('key').where('kind', '=', 'card.again').where('active', '=', 1).execute())).toEqual([{ key: `card.again.${run?.id}.two-shots` }]);
    const drips = privateOf(await house.presses(mia, press('card.still', run?.id ?? '', 'two-shots', 'drips-again')));
    expect(pressOf(drips, 'Ask me questions')).toEqual(press('case.still', 'case1', 'back'));
    await house.store.close();
  });

  test('without a case a later check that fails begins the questions from the card, and one for a technician can be booked', async () => {
    const house = await open(await database.open());
    await house.set({ screen: 'screw', filter: 'cartridge' });
    await house.mark({ person: 'sam', name: 'Sam' }, 'seal-screw');
    await house.presses(sam, start('seal-screw', '2')(house));
    const run = (await house.runs())[0]?.id ?? '';
    await on(house, sam, run, OFF, ...times(9, 'Next'), 'Ready', ...times(3, 'Next'), 'Dry');
    const drips = privateOf(await house.presses(mia, press('card.still', run, 'week', 'drips-again')));
    expect(pressOf(drips, 'Ask me questions')).toEqual(press('card.questions', run));
    await house.mark({ person: 'mia', name: 'Mia' }, 'reseat-cartridge');
    const filter = await begin(house, mia, 'reseat-cartridge', '-');
    await transact(house.store, [house.cafe], (tx) => tx.updateTable('card_run').set({ state: 'ended', result: 'book', answer: 'drips-filter' }).where('id', '=', filter).execute());
    await transact(house.store, [house.cafe], (tx) => tx.insertInto('card_check').values({ id: 'k1', run: filter, cafe: house.cafe, job: 'reseat-cartridge', machine: house.machine, group_number: null, asked_when: 'end', answer: 'drips-filter', leads: 'book', by_person: 'mia', by_name: 'Mia', at: house.clock.now() }).execute());
    expect(textOf(privateOf(await house.presses(mia, pressOf(await house.shown(filter), 'Book technician'))))).toBe('When for case-1?');
    expect(house.told.technician).toMatchObject([{ stuck: false, answer: 'drips-filter', like: 'water-on-counter', group: null, by: { name: 'Mia' } }]);
    await house.presses(mia, press('card.book', filter));
    expect(house.told.technician).toHaveLength(1);
    await house.store.close();
  });

  test('still in pieces: the call names the step the work stands at, not the cautions that are asked again', async () => {
    const house = await open(await database.open());
    await house.set({ screen: 'screw' });
    await house.mark({ person: 'sam', name: 'Sam' }, 'seal-screw');
    const run = await begin(house, sam, 'seal-screw');
    await on(house, sam, run, OFF, 'Next', 'Next', 'Pause', 'Go on');
    expect((await house.runs())[0]).toMatchObject({ screen: 0, go_to: 3 });
    const loud = await house.cards.notices?.find(({ kind }) => kind === 'card.loud')?.show({ data: { run }, cafe: house.cafe, place: BAR, now: house.clock.now() });
    expect(loud && textOf(loud)).toContain('Sam stands at 4 of 15.');
    await house.store.close();
  });

  test('two have their hands in one machine: neither switches on before both are closed up', async () => {
    const house = await open(await database.open());
    await house.set({ screen: 'screw' });
    for (const each of [sam, mia]) await house.mark({ person: each.id, name: each.name }, 'seal-screw');
    const first = await begin(house, sam, 'seal-screw', '1');
    const second = await begin(house, mia, 'seal-screw', '2');
    await on(house, mia, second, OFF);
    await on(house, sam, first, OFF, ...times(9, 'Next'));
    expect(textOf(privateOf(await on(house, sam, first, 'Ready')))).toBe('Do not switch on: Mia still has it in pieces.\nChange the seal (screw), group 2. Both closed up first, then on.');
    expect((await house.runs()).find(({ id }) => id === first)).toMatchObject({ screen: 10, state: 'on' });
    expect(textOf(privateOf(await house.presses(mia, start('wipe-rim', '1')(house))))).toContain('has the machine in pieces');
    await on(house, mia, second, ...times(9, 'Next'));
    expect(textOf(privateOf(await on(house, mia, second, 'Ready')))).toContain('Sam still has it in pieces');
    await house.store.close();
  });

  test('cold steps done and nobody at it any more: the one who closed up last switches on', async () => {
    const house = await open(await database.open());
    await house.set({ screen: 'screw' });
    for (const each of [sam, mia]) await house.mark({ person: each.id, name: each.name }, 'seal-screw');
    const first = await begin(house, sam, 'seal-screw', '1');
    const second = await begin(house, mia, 'seal-screw', '2');
    await on(house, sam, first, OFF, ...times(9, 'Next'));
    await on(house, mia, second, OFF, "Something's wrong");
    await house.presses(mia, press('card.danger', second));
    expect(house.told.wrong).toMatchObject([{ cardRun: second, danger: true, job: 'seal-screw', step: 2, by: { name: 'Mia' } }]);
    expect(textOf(privateOf(await on(house, sam, first, 'Ready')))).toContain('Mia still has it in pieces');
    await house.presses(mia, press('card.whole', second));
    await on(house, sam, first, 'Ready');
    expect((await house.runs()).find(({ id }) => id === first)).toMatchObject({ screen: 11, apart: 0 });
    await house.store.close();
  });

  test('a machine that must stay off gets no card, and one begun before goes no further than closed up', async () => {
    const house = await open(await database.open());
    const run = await begin(house, sam, 'wipe-rim');
    await on(house, sam, run, 'Ready');
    await transact(house.store, [house.cafe], (tx) => tx.updateTable('machine').set({ state: 'must stay off' }).where('id', '=', house.machine).execute());
    expect(textOf(privateOf(await on(house, sam, run, 'Next')))).toContain('has to stay off');
    expect((await house.runs())[0]).toMatchObject({ screen: 1 });
    for (const job of ['wipe-rim', 'seal-screw', 'switch-on', 'restart-once', 'rinse-detergent', 'change-cartridge'])
      expect(textOf(privateOf(await house.presses(mia, start(job)(house)))), job).toContain('has to stay off');
    await begin(house, mia, 'make-safe', '-');
    await house.store.close();
  });

  test('a bar phone is asked who is doing it, and again after a pause; a name that is not marked only reads', async () => {
    const house = await open(await database.open());
    await house.set({ screen: 'screw' });
    await transact(house.store, [house.cafe], (tx) => tx.insertInto('member').values({ id: 'm1', cafe: house.cafe, person: phone.id, name: 'Phone', role: 'bar phone', direct_ok: 0, created_at: house.clock.now() }).execute());
    expect(textOf(privateOf(await house.presses(phone, start('seal-screw')(house))))).toContain('shown it once');
    await house.mark({ person: null, name: 'Pablo' }, 'seal-screw');
    await house.mark({ person: 'sam', name: 'Sam' }, 'seal-screw');
    const asks = privateOf(await house.presses(phone, start('seal-screw')(house)));
    expect(textOf(asks)).toBe('Change the seal (screw), group 1: who is doing it?');
    expect(labelsOf(asks)).toEqual(['Pablo', 'Sam', 'Someone else']);
    await house.presses(phone, pressOf(asks, 'Pablo'));
    const run = (await house.runs())[0]?.id ?? '';
    expect((await house.runs())[0]).toMatchObject({ doer_person: 'phone', doer_name: 'Pablo' });
    await on(house, phone, run, OFF, 'Next', 'Pause');
    const again = privateOf(await on(house, phone, run, 'Go on'));
    expect(labelsOf(again)).toEqual(['Pablo', 'Sam']);
    await house.presses(phone, pressOf(again, 'Sam'));
    expect((await house.runs())[0]).toMatchObject({ doer_name: 'Sam', screen: 0, go_to: 2, assured_by: null });
    await house.store.close();
  });

  test('nobody can begin or move a card who is not of the bar; danger is for everyone', async () => {
    const house = await open(await database.open());
    expect(textOf(privateOf(await house.presses(stranger, start('wipe-rim')(house))))).toContain('for the bar of this café');
    const run = await begin(house, sam, 'wipe-rim');
    expect(textOf(privateOf(await house.presses(stranger, press('card.ready', run, '0'))))).toContain('for the bar of this café');
    await house.presses(stranger, press('card.danger', run));
    expect((await house.runs())[0]).toMatchObject({ state: 'ended', result: 'danger' });
    await house.store.close();
  });

  test('begun too late all the same: the machine is not opened when there is no time left to close it', async () => {
    const house = await open(await database.open());
    await house.set({ screen: 'screw' });
    await house.mark({ person: 'sam', name: 'Sam' }, 'seal-screw');
    const run = await begin(house, sam, 'seal-screw');
    house.clock.moveTo(later(house.clock.now(), minutes(45)));
    expect(textOf(privateOf(await on(house, sam, run, OFF)))).toContain('no longer fits before you open');
    expect((await house.runs())[0]).toMatchObject({ screen: 0, apart: 0 });
    await house.store.close();
  });

  test('opened from another conversation: the key of its message, or of what is in its way', async () => {
    const house = await open(await database.open());
    const what = { cafe: house.cafe, machine: house.machine, place: BAR, by: sam, now: house.clock.now() };
    const [begun, gated] = await transact(house.store, [house.cafe], async (tx) => [await house.cards.start(tx, { ...what, job: 'wipe-rim', group: 1, caseId: 'case1' }), await house.cards.start(tx, { ...what, job: 'seal-any', group: 1 })]);
    const [run] = await house.runs();
    expect(begun).toBe(`card.${run?.id}`);
    expect(gated).toMatch(/^card\.gate\./);
    const outbox = await read(house.store, (tx) => tx.selectFrom('outbox').select(['key', 'kind', 'place']).where('kind', 'like', 'card%').orderBy('id').execute());
    expect(outbox).toEqual([{ key: begun, kind: 'card', place: BAR }, { key: gated, kind: 'card.gate', place: BAR }]);
    await house.store.close();
  });

  test('offers tell of every job whether it can be begun now, and what is in its way', async () => {
    const house = await open(await database.open());
    await house.set({ screen: 'screw' });
    await house.mark({ person: 'sam', name: 'Sam' }, 'seal-screw');
    const at = async (person: Person) => new Map((await read(house.store, (tx) => house.cards.offers(tx, house.cafe, person, house.clock.now()))).map(({ job, gate }) => [job, gate.kind]));
    const early = await at(sam);
    expect(early.size).toBe(book.cards.size + book.choices.size);
    expect([early.get('wipe-rim'), early.get('seal-screw'), early.get('seal-any'), early.get('seal-press'), early.get('screen-screw-clean'), early.get('backflush-detergent')]).toEqual(['open', 'open', 'open', 'not-here', 'not-shown', 'done-before']);
    expect((await at(mia)).get('seal-screw')).toBe('not-shown');
    house.clock.moveTo(later(house.clock.now(), minutes(240)));
    expect((await at(sam)).get('seal-screw')).toBe('serving');
    await house.store.close();
  });

  test('a hot card nobody goes on with is over after twelve hours, and nothing of it counts as done', async () => {
    const house = await open(await database.open());
    const run = await begin(house, sam, 'wipe-rim');
    await on(house, sam, run, 'Ready');
    const fire = async (hours: number) => {
      house.clock.moveTo(later(house.clock.now(), minutes(60 * hours)));
      const kind = house.cards.timers?.find((each) => each.kind === 'card.open');
      await transact(house.store, [house.cafe], async (tx) => kind?.fire(tx, { key: `card.open.${run}`, ref: run, cafe: house.cafe, at: house.clock.now() }, house.clock.now()));
      return (await house.runs())[0];
    };
    expect(await fire(11)).toMatchObject({ state: 'on' });
    expect(await fire(1)).toMatchObject({ state: 'ended', result: 'left' });
    expect(house.told.finished).toMatchObject([{ result: 'left', answer: null }]);
    await house.store.close();
  });

  test('who wishes it is taken out of the cards by name; what was found at the machine stays', async () => {
    const house = await open(await database.open());
    await house.mark({ person: 'sam', name: 'Sam' }, 'wipe-rim');
    const run = await begin(house, sam, 'wipe-rim');
    await on(house, sam, run, 'Ready', 'Next', 'Next', 'Dry');
    expect(await read(house.store, (tx) => cardsTrace.count(tx, sam.id))).toBe(2);
    await transact(house.store, [house.cafe], (tx) => cardsTrace.forget(tx, sam.id, house.clock.now()));
    expect(await read(house.store, (tx) => cardsTrace.count(tx, sam.id))).toBe(0);
    const left = await read(house.store, async (tx) => [await tx.selectFrom('card_run').selectAll().execute(), await tx.selectFrom('card_check').selectAll().execute(), await tx.selectFrom('card_shown').selectAll().execute()]);
    expect(JSON.stringify(left)).not.toMatch(/sam/i);
    expect(left[1]).toMatchObject([{ answer: 'dry', leads: 'cured' }]);
    await house.store.close();
  });
});
