import { cafeById, machineById } from '../cafe/records.ts';
import type { Pressed, PressRoute } from '../cafe/subject.ts';
import { button, message } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import { direct, placeId } from '../chat/who.ts';
import type { Tx } from '../store/store.ts';
import { read, transact } from '../store/transact.ts';
import { again, type Desk } from './ask-desk.ts';
import type { Ending } from './ask-end.ts';
import { showMessage } from './ask-show.ts';
import { whyMessage } from './ask-verdict-views.ts';
import { caseById, changeCase, firstThings, readingsOf, shownOf, type CaseRecord } from './records.ts';
import type { Verdict } from './verdict.ts';

/** Every button of a case. */
export const createPresses = (desk: Desk, { closing, reopened, remind }: Ending): readonly PressRoute[] => {
  const { needs, questions, symptoms, advance, viewOf, sayFor, change, redrawn, giveAnswer, oneBack, postCase } = desk;
  const { store, words } = needs;

  const cafeOfCase = async (tx: Tx, given: Press): Promise<string | undefined> => (await caseById(tx, given.ids[0] ?? ''))?.cafe;
  const route = (kind: string, take: PressRoute['take'], ack: PressRoute['ack'] = 'update', right: PressRoute['right'] = 'answer'): PressRoute => ({ kind, ack, right, cafe: cafeOfCase, take });
  const idOf = (pressed: Pressed): string => pressed.press.ids[0] ?? '';

  const step = (kind: string, work: (tx: Tx, row: CaseRecord, pressed: Pressed) => Promise<Partial<CaseRecord> | undefined>): PressRoute =>
    route(kind, async (pressed) => {
      await change(idOf(pressed), pressed.now, pressed.shown?.key, (tx, row) => work(tx, row, pressed));
      return redrawn(pressed, idOf(pressed));
    });

  const askBar = async (tx: Tx, row: CaseRecord, pressed: Pressed): Promise<Partial<CaseRecord> | undefined> => {
    const cafe = await cafeById(tx, row.cafe);
    if (!cafe?.place || row.step === 'closed' || shownOf(row).some(({ place }) => place === cafe.place)) return undefined;
    const moved = row.step === 'where' ? await advance(tx, row, pressed.now) : {};
    await changeCase(tx, row.id, { ...moved, state: 'waiting for the bar' });
    const fresh = await caseById(tx, row.id);
    if (!fresh) return undefined;
    await postCase(tx, fresh, placeId(cafe.place), pressed.now);
    return { ...moved, state: 'waiting for the bar', shown: (await caseById(tx, row.id))?.shown ?? row.shown };
  };

  /** Takes one answer back and asks its question again; the others stay. */
  const alter = async (row: CaseRecord, picked: string | undefined): Promise<Partial<CaseRecord> | undefined> => {
    if (row.step !== 'change') return undefined;
    const readings = readingsOf(row);
    const chosen = readings[Number(picked)];
    if (picked === undefined || chosen === undefined || (chosen.kind !== 'answer' && chosen.kind !== 'unsure')) return again;
    return { readings: JSON.stringify(readings.filter((each) => each !== chosen)), step: 'ask', question: chosen.question, verdict: null };
  };

  /** Questions wait for a danger: what follows from them may be a job, and nobody is to stand at that machine now. */
  const onRoute = route('case.on', async (pressed) => {
    const id = idOf(pressed);
    const first = await read(store, async (tx) => {
      const row = await caseById(tx, id);
      const machine = row?.step === 'paused' ? await machineById(tx, row.machine) : undefined;
      return machine ? firstThings(tx, machine, pressed.now) : null;
    });
    const say = words.in(pressed.locale);
    if (first) return { kind: 'redraw', message: message([say(`ask.first.${first}`), say('ask.first.kept')], [button(say('ask.button.carry-on'), press('case.on', id))]) };
    await change(id, pressed.now, pressed.shown?.key, async (_tx, row) => (row.closed_at === null && (row.step === 'paused' || row.step === 'change') ? { state: 'open', ...again } : undefined));
    return redrawn(pressed, id);
  });

  const stillRoute = route('case.still', async (pressed) => {
    const say = words.in(pressed.locale);
    if (pressed.press.ids[1] === 'good') return { kind: 'redraw', message: message([say('ask.still.good')]) };
    const id = idOf(pressed);
    await change(id, pressed.now, undefined, async (tx, row) => (row.step === 'closed' ? reopened(tx, row) : undefined));
    await transact(store, [], async (tx) => {
      const row = await caseById(tx, id);
      if (row) await postCase(tx, row, pressed.at, pressed.now);
    });
    return { kind: 'redraw', message: message([say('ask.check.owned')]) };
  });

  /** Whoever asks to be shown sees it alone; the question stays where it is. */
  const showRoute = route('case.show', async (pressed) => {
    const say = await read(store, async (tx) => {
      const row = await caseById(tx, idOf(pressed));
      return row ? sayFor(tx, row, pressed.locale) : words.in(pressed.locale);
    });
    const question = questions.get(pressed.press.ids[1] ?? '');
    return { kind: 'private', message: question?.show === true ? showMessage(say, question.id, needs.pictureFor(question.id, say)) : message([say('chat.tooOld')]) };
  }, 'private');

  const whyRoute = route('case.why', async (pressed) => {
    const found = await read(store, async (tx) => {
      const row = await caseById(tx, idOf(pressed));
      return row?.verdict ? { view: await viewOf(tx, row, direct(pressed.by.id)), verdict: JSON.parse(row.verdict) as Verdict, say: await sayFor(tx, row, pressed.locale) } : undefined;
    });
    const say = found?.say ?? words.in(pressed.locale);
    return { kind: 'private', message: found ? whyMessage({ say, locale: pressed.locale }, found.view, found.verdict) : message([say('chat.tooOld')]) };
  }, 'private', 'see');

  return [
    route('case.answer', async (pressed) => {
      const [id = '', question = '', answer = ''] = pressed.press.ids;
      await giveAnswer(pressed, id, question, answer, pressed.shown?.key);
      return redrawn(pressed, id);
    }),
    route('case.unsure', async (pressed) => {
      const [id = '', question = ''] = pressed.press.ids;
      await giveAnswer(pressed, id, question, undefined, pressed.shown?.key);
      return redrawn(pressed, id);
    }),
    showRoute,
    step('case.symptom', async (tx, row, pressed) => {
      const symptom = pressed.press.ids[1] ?? '';
      if (row.step !== 'which') return undefined;
      if (symptoms.has(symptom)) await remind(tx, { ...row, symptom }, pressed.now);
      return symptoms.has(symptom) ? { symptom, nearest: '[]', ...again } : { step: 'closed', state: 'closed', closed_at: pressed.now };
    }),
    step('case.group', async (_tx, row, pressed) => {
      const group = Number(pressed.press.ids[1]);
      return row.step === 'group' ? { group_number: Number.isInteger(group) && group > 0 ? group : null, group_asked: 1, ...again } : undefined;
    }),
    step('case.here', async (_tx, row) => (row.step === 'where' ? again : row.state === 'waiting for the bar' ? { state: 'open' } : undefined)),
    step('case.bar', askBar),
    step('case.back', async (_tx, row) => (row.step === 'closed' ? undefined : oneBack(row))),
    step('case.more', async (_tx, row) => (row.step === 'verdict' && readingsOf(row).some(({ kind }) => kind === 'answer' || kind === 'unsure') ? { step: 'change' } : undefined)),
    step('case.alter', async (_tx, row, pressed) => alter(row, pressed.picked[0])),
    step('case.leave', async (_tx, row) => (row.step === 'closed' ? undefined : { step: 'paused', state: 'paused' })),
    onRoute,
    step('case.end', async (tx, row, pressed) => (row.step === 'closed' ? undefined : closing(tx, row, pressed.now, pressed.press.ids[1] ?? ''))),
    step('case.reopen', async (tx, row) => (row.step === 'closed' ? reopened(tx, row) : undefined)),
    stillRoute,
    whyRoute,
  ];
};
