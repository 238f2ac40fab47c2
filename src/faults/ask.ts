import { calendarOf } from '../cafe/calendar.ts';
import { readMachineFacts } from '../cafe/machine-facts.ts';
import { readMoney } from '../cafe/money.ts';
import { cafeById, groupsOf, machineById, machinesOf, rolesIn, type Cafe, type Machine } from '../cafe/records.ts';
import { rightsOf } from '../cafe/roles.ts';
import { quietHour } from '../cafe/live.ts';
import type { DialogueKind, Here, NoticeKind, Pressed, PressRoute, Said, Subject } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { button, message, type Message } from '../chat/message.ts';
import { press, type Press } from '../chat/press.ts';
import { direct, isDirect, personId, placeId, type PlaceId } from '../chat/who.ts';
import { closeDialogue, openDialogue } from '../store/dialogue.ts';
import type { Ids } from '../store/id.ts';
import { post, redraw } from '../store/post.ts';
import type { Store, Tx } from '../store/store.ts';
import { setTimer, stopTimer } from '../store/timers.ts';
import { read, transact } from '../store/transact.ts';
import { days, later, type Instant } from '../time/instant.ts';
import type { Words } from '../words/catalogue.ts';
import { barOf } from './bar.ts';
import type { Catalogue } from './catalogue.ts';
import { modelFor } from './catalogue-model.ts';
import { caseMessage, caseName, whyMessage, type CaseView } from './ask-views.ts';
import type { Finder } from './find.ts';
import type { Case, Model, RecordChance, Situation } from './model.ts';
import { caseById, changeCase, insertCase, nearestOf, readingsOf, shownOf, type CaseRecord, type ShownAt, type Told } from './records.ts';
import { situationOf } from './situation.ts';
import { next, type Verdict } from './verdict.ts';
import { matchAnswer } from './typed-answer.ts';

export type AskNeeds = {
  readonly store: Store;
  readonly words: Words;
  readonly ids: Ids;
  readonly catalogue: Catalogue;
  /** By language. */
  readonly finders: ReadonlyMap<string, Finder>;
  /** A danger answer: the steps go out in the café's channel, whoever was asked. */
  readonly raise: (tx: Tx, danger: { readonly cafe: Cafe; readonly machine: string; readonly group: number | null; readonly kind: string; readonly act: string; readonly by: Here['by']; readonly caseId: string; readonly text: string }, now: Instant) => Promise<void>;
  /** Chances from the records of the café, asked of subjects to the right or beside. */
  readonly recordsFor: (tx: Tx, cafe: Cafe, machine: Machine, group: number | null, now: Instant) => Promise<readonly RecordChance[]>;
  /** Jobs this café cannot do now (no time, no part), and whether somebody trained is there. */
  readonly barredJobs: (tx: Tx, cafe: Cafe, machine: Machine, now: Instant) => Promise<readonly string[]>;
};

export type Ask = Subject & {
  /** A job of the case was done: its result is one more fact. */
  readonly tried: (tx: Tx, caseId: string, job: string, result: 'cured' | 'better' | 'same', by: { readonly name: string }, now: Instant) => Promise<void>;
  /** Brings everything that shows the case up to date. */
  readonly refresh: (tx: Tx, caseId: string, now: Instant) => Promise<void>;
  readonly reckon: (tx: Tx, row: CaseRecord, now: Instant) => Promise<{ readonly model: Model; readonly situation: Situation; readonly aCase: Case } | undefined>;
};

const caseKey = (id: string, at: number): string => `case.${id}.${at}`;

export const createAsk = (needs: AskNeeds): Ask => {
  const { store, words, ids, catalogue, finders } = needs;
  const models = new Map<string, Model>();
  const questions = new Map(catalogue.questions.map((question) => [question.id, question]));
  const symptoms = new Map(catalogue.symptoms.map((symptom) => [symptom.id, symptom]));
  const cures = new Map(catalogue.causes.map((cause) => [cause.id, cause.cures]));
  const jobs = new Map(catalogue.jobs.map((job) => [job.id, job]));

  const modelOf = (machine: Machine): Model => {
    const facts = readMachineFacts(machine.facts);
    const bar = barOf({ ...machine, filter: facts.filter, screen: facts.screen });
    const key = `${bar.kind} ${[...bar.has].sort().join(' ')}`;
    const known = models.get(key) ?? modelFor(catalogue, bar);
    models.set(key, known);
    return known;
  };

  const reckon: Ask['reckon'] = async (tx, row, now) => {
    const cafe = await cafeById(tx, row.cafe);
    const machine = await machineById(tx, row.machine);
    if (!cafe || !machine || row.symptom === null) return undefined;
    const out = (await groupsOf(tx, machine.id)).filter((group) => group.state === 'out of use').length;
    const situation = situationOf({ groups: Math.max(1, machine.groups - out), hours: calendarOf(cafe), trade: readMoney(cafe.money), cold: false, trained: false, barred: await needs.barredJobs(tx, cafe, machine, now) }, now);
    const readings = readingsOf(row).map(({ by: _by, at: _at, ...reading }) => reading);
    return { model: modelOf(machine), situation, aCase: { symptom: row.symptom, readings, records: await needs.recordsFor(tx, cafe, machine, row.group_number, now) } };
  };

  /** Where the case goes next: what must be settled first, then one more question or the verdict. */
  const advance = async (tx: Tx, row: CaseRecord, now: Instant): Promise<Partial<CaseRecord>> => {
    const machine = await machineById(tx, row.machine);
    if (row.symptom === null) return { step: nearestOf(row).length > 0 ? 'which' : 'closed' };
    const about = symptoms.get(row.symptom)?.about;
    const groupAnswered = readingsOf(row).length > 0 || row.group_number !== null || row.group_asked === 1;
    if (about === 'group' && (machine?.groups ?? 1) > 1 && !groupAnswered && row.step !== 'group') return { step: 'group' };
    const laid = await reckon(tx, row, now);
    if (!laid) return { step: 'closed', state: 'closed' };
    const found = next(laid.model, laid.situation, laid.aCase);
    return found.kind === 'ask'
      ? { step: 'ask', state: row.state === 'waiting for the bar' ? row.state : 'open', question: found.question, verdict: null }
      : { step: 'verdict', state: 'open', question: null, verdict: JSON.stringify(found.verdict) };
  };

  const viewOf = async (tx: Tx, row: CaseRecord, place: PlaceId): Promise<CaseView> => {
    const cafe = await cafeById(tx, row.cafe);
    const machine = await machineById(tx, row.machine);
    const verdict = row.verdict === null ? null : (JSON.parse(row.verdict) as Verdict);
    const question = row.question === null ? undefined : questions.get(row.question);
    const job = verdict?.choice.steps[0]?.jobs[0];
    const owners = cafe ? await rolesIn(tx, cafe, { id: personId(isDirect(place) ? place.slice(2) : row.asker), name: '', roles: [], manages: false }) : [];
    return {
      id: row.id, cafe: row.cafe, step: row.step, symptom: row.symptom, group: row.group_number, groups: machine?.groups ?? 1, nearest: row.symptom === null ? nearestOf(row) : [],
      question: question ? { id: question.id, answers: question.answers.map(({ id }) => id) } : null,
      answered: readingsOf(row).length, verdict, jobCause: job === undefined ? null : (verdict?.likely.find(({ cause }) => cause.split('+').some((part) => (cures.get(part)?.[job] ?? 0) > 0)) ?? null), jobMinutes: job === undefined ? null : (jobs.get(job)?.minutes ?? null), currency: cafe?.currency ?? null,
      showMoney: rightsOf(owners).has('own'), away: isDirect(place), askedBy: place === row.place ? null : row.asker_name, waiting: place === row.place && row.state === 'waiting for the bar', closed: row.closed_at === null ? null : row.state === 'fixed' || row.state === 'booked' ? row.state : 'left',
    };
  };

  const draw = async (id: string, place: PlaceId, locale?: string): Promise<Message | undefined> =>
    read(store, async (tx) => {
      const row = await caseById(tx, id);
      const cafe = row && (await cafeById(tx, row.cafe));
      if (!row || !cafe) return undefined;
      const language = words.nearest(locale ?? cafe.language);
      return caseMessage({ say: words.in(language), locale: language }, await viewOf(tx, row, place));
    });

  const refreshAt = async (tx: Tx, row: CaseRecord, now: Instant, pressedOn?: string): Promise<void> => {
    for (const { key } of shownOf(row)) await redraw(tx, key, now, key === pressedOn);
  };

  const postCase = async (tx: Tx, row: CaseRecord, place: PlaceId, now: Instant): Promise<ShownAt> => {
    const shown = shownOf(row);
    const at = { key: caseKey(row.id, shown.length), place };
    await changeCase(tx, row.id, { shown: JSON.stringify([...shown, at]) });
    await post(tx, ids, now, { key: at.key, cafe: row.cafe, place, kind: 'case', data: { case: row.id }, priority: 'answer' });
    return at;
  };

  type Begin = { readonly cafe: Cafe; readonly machine: Machine; readonly symptom: string | null; readonly nearest: readonly string[]; readonly group: number | null; readonly readings: readonly Told[]; readonly text: string };

  const begin = async (here: Here, what: Begin): Promise<void> => {
    await transact(store, [what.cafe.id], async (tx) => {
      const id = ids(here.now);
      const row: CaseRecord = {
        id, cafe: what.cafe.id, machine: what.machine.id, group_number: what.machine.groups === 1 ? 1 : what.group, group_asked: 0, step: 'ask', state: 'open', symptom: what.symptom, nearest: JSON.stringify(what.nearest),
        complaint: what.text, asker: here.by.id, asker_name: here.by.name, place: here.at, shown: '[]', readings: JSON.stringify(what.readings), question: null, verdict: null, photos: '[]', opened_at: here.now, updated_at: here.now, closed_at: null, rev: 0,
      };
      await insertCase(tx, row);
      const urgent = what.symptom !== null && symptoms.get(what.symptom)?.immediate !== undefined;
      const away = isDirect(here.at) && what.cafe.place !== null && what.symptom !== null && !urgent;
      await changeCase(tx, id, away ? { step: 'where' } : await advance(tx, row, here.now));
      const stored = await caseById(tx, id);
      if (stored) await postCase(tx, stored, here.at, here.now);
      await openDialogue(tx, ids, here.now, here.at, here.by.id, { kind: 'case', ref: id, cafe: what.cafe.id });
      const immediate = what.symptom === null ? undefined : symptoms.get(what.symptom)?.immediate;
      if (immediate) await needs.raise(tx, { cafe: what.cafe, machine: what.machine.id, group: what.group, kind: immediate.kind, act: immediate.act, by: here.by, caseId: id, text: what.text }, here.now);
    });
  };

  /** Changes a case in its café's one transaction and shows it everywhere. `work` returns undefined to change nothing. */
  const change = async (id: string, now: Instant, pressedOn: string | undefined, work: (tx: Tx, row: CaseRecord) => Promise<Partial<CaseRecord> | undefined>): Promise<void> => {
    const cafe = (await read(store, (tx) => caseById(tx, id)))?.cafe;
    if (cafe === undefined) return;
    await transact(store, [cafe], async (tx) => {
      const row = await caseById(tx, id);
      const changed = row && (await work(tx, row));
      if (!row || !changed) return;
      const merged = { ...row, ...changed, updated_at: now };
      await changeCase(tx, id, { ...changed, updated_at: now, ...(merged.step === 'again' ? await advance(tx, { ...merged, step: row.step }, now) : {}) });
      const after = await caseById(tx, id);
      if (!after) return;
      await refreshAt(tx, after, now, pressedOn);
      if (after.step === 'verdict' && row.step !== 'verdict') await tellAsker(tx, after, now);
    });
  };

  /** Whoever asked from afar hears the verdict as a message of its own. */
  const tellAsker = async (tx: Tx, row: CaseRecord, now: Instant): Promise<void> => {
    if (row.state !== 'waiting for the bar' && !shownOf(row).some(({ place }) => place !== row.place)) return;
    await postCase(tx, row, placeId(row.place), now);
  };

  const again = { step: 'again' } as const;

  const redrawn = async (pressed: Pressed, id: string, note?: Message): Promise<Answer> => {
    const drawn = await draw(id, pressed.at, pressed.locale);
    if (!drawn) return { kind: 'redraw', message: message([words.in(pressed.locale)('chat.tooOld')]) };
    const key = pressed.shown?.key;
    const version = key === undefined ? undefined : await read(store, (tx) => tx.selectFrom('outbox').select('version').where('key', '=', key).executeTakeFirst());
    return { kind: 'redraw', message: drawn, ...(key !== undefined && version ? { shows: { key, version: version.version } } : {}), ...(note ? { private: note } : {}) };
  };

  const withReading = (row: CaseRecord, reading: Told): string => JSON.stringify([...readingsOf(row), reading]);

  const giveAnswer = async (here: Here, id: string, question: string, answer: string | undefined, pressedOn?: string): Promise<void> =>
    change(id, here.now, pressedOn, async (tx, row) => {
      if (row.step !== 'ask' || row.question !== question) return undefined;
      const known = questions.get(question)?.answers.find((each) => each.id === answer);
      if (answer !== undefined && !known) return undefined;
      const stamp = { by: here.by.name, at: here.now };
      const reading: Told = answer === undefined ? { kind: 'unsure', question, ...stamp } : { kind: 'answer', question, answer, ...stamp };
      if (known?.danger) {
        const cafe = await cafeById(tx, row.cafe);
        if (cafe) await needs.raise(tx, { cafe, machine: row.machine, group: row.group_number, kind: known.danger.kind, act: known.danger.act, by: here.by, caseId: id, text: row.complaint }, here.now);
      }
      return { readings: withReading(row, reading), ...again };
    });

  const cafeOfCase = async (tx: Tx, given: Press): Promise<string | undefined> => (await caseById(tx, given.ids[0] ?? ''))?.cafe;
  const route = (kind: string, take: PressRoute['take'], ack: PressRoute['ack'] = 'update', right: PressRoute['right'] = 'answer'): PressRoute => ({ kind, ack, right, cafe: cafeOfCase, take });
  const idOf = (pressed: Pressed): string => pressed.press.ids[0] ?? '';

  const step = (kind: string, work: (tx: Tx, row: CaseRecord, pressed: Pressed) => Promise<Partial<CaseRecord> | undefined>): PressRoute =>
    route(kind, async (pressed) => {
      await change(idOf(pressed), pressed.now, pressed.shown?.key, (tx, row) => work(tx, row, pressed));
      return redrawn(pressed, idOf(pressed));
    });

  const closing = async (tx: Tx, row: CaseRecord, now: Instant, how: string): Promise<Partial<CaseRecord>> => {
    for (const { place } of shownOf(row)) await closeDialogue(tx, placeId(place), 'case');
    if (how !== 'fixed') return { step: 'closed', state: 'closed', closed_at: now };
    const cafe = await cafeById(tx, row.cafe);
    const verdict = row.verdict === null ? undefined : (JSON.parse(row.verdict) as Verdict);
    if (cafe && verdict?.kind !== 'nothing-wrong') {
      const quiet = quietHour(cafe, now, 0);
      await setTimer(tx, ids, now, { key: `case.check.${row.id}`, cafe: row.cafe, kind: 'case.check', ref: row.id, at: quiet > now ? quiet : quietHour(cafe, now, 1) });
      await setTimer(tx, ids, now, { key: `case.week.${row.id}`, cafe: row.cafe, kind: 'case.check', ref: row.id, at: later(quietHour(cafe, now, 7), 0) });
    }
    return { step: 'closed', state: 'fixed', closed_at: now };
  };

  const reopened = async (tx: Tx, row: CaseRecord, now: Instant): Promise<Partial<CaseRecord>> => {
    await stopTimer(tx, `case.check.${row.id}`);
    await stopTimer(tx, `case.week.${row.id}`);
    return { ...(row.symptom === null ? {} : again), state: 'came back', closed_at: null, updated_at: now };
  };

  const presses: readonly PressRoute[] = [
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
    step('case.symptom', async (_tx, row, pressed) => {
      const symptom = pressed.press.ids[1] ?? '';
      if (row.step !== 'which') return undefined;
      return symptoms.has(symptom) ? { symptom, ...again } : { step: 'closed', state: 'closed', closed_at: pressed.now };
    }),
    step('case.group', async (_tx, row, pressed) => {
      const group = Number(pressed.press.ids[1]);
      return row.step === 'group' ? { group_number: Number.isInteger(group) && group > 0 ? group : null, group_asked: 1, ...again } : undefined;
    }),
    step('case.here', async (_tx, row) => (row.step === 'where' ? again : row.state === 'waiting for the bar' ? { state: 'open' } : undefined)),
    step('case.bar', async (tx, row, pressed) => {
      const cafe = await cafeById(tx, row.cafe);
      if (!cafe?.place || row.step === 'closed' || shownOf(row).some(({ place }) => place === cafe.place)) return undefined;
      const moved = row.step === 'where' ? await advance(tx, row, pressed.now) : {};
      await changeCase(tx, row.id, { ...moved, state: 'waiting for the bar' });
      const fresh = await caseById(tx, row.id);
      if (!fresh) return undefined;
      await postCase(tx, fresh, placeId(cafe.place), pressed.now);
      return { ...moved, state: 'waiting for the bar', shown: (await caseById(tx, row.id))?.shown ?? row.shown };
    }),
    step('case.back', async (_tx, row) => {
      const readings = readingsOf(row);
      return row.step === 'closed' || readings.length === 0 ? undefined : { readings: JSON.stringify(readings.slice(0, -1)), ...again };
    }),
    step('case.more', async (_tx, row) => {
      const readings = readingsOf(row);
      return row.step === 'verdict' && readings.length > 0 ? { readings: JSON.stringify(readings.slice(0, -1)), ...again } : undefined;
    }),
    step('case.leave', async (_tx, row) => (row.step === 'closed' ? undefined : { step: 'paused', state: 'paused' })),
    step('case.on', async (_tx, row) => (row.step === 'paused' ? { state: 'open', ...again } : undefined)),
    step('case.end', async (tx, row, pressed) => (row.step === 'closed' ? undefined : closing(tx, row, pressed.now, pressed.press.ids[1] ?? ''))),
    step('case.reopen', async (tx, row, pressed) => (row.step === 'closed' ? reopened(tx, row, pressed.now) : undefined)),
    route('case.still', async (pressed) => {
      const say = words.in(pressed.locale);
      if (pressed.press.ids[1] === 'good') return { kind: 'redraw', message: message([say('ask.still.good')]) };
      const id = idOf(pressed);
      await change(id, pressed.now, undefined, async (tx, row) => (row.step === 'closed' ? reopened(tx, row, pressed.now) : undefined));
      await transact(store, [], async (tx) => {
        const row = await caseById(tx, id);
        if (row) await postCase(tx, row, pressed.at, pressed.now);
      });
      return { kind: 'redraw', message: message([say('ask.check.owned')]) };
    }),
    route('case.why', async (pressed) => {
      const found = await read(store, async (tx) => {
        const row = await caseById(tx, idOf(pressed));
        return row?.verdict ? { view: await viewOf(tx, row, direct(pressed.by.id)), readings: readingsOf(row), verdict: JSON.parse(row.verdict) as Verdict } : undefined;
      });
      const say = words.in(pressed.locale);
      if (!found) return { kind: 'private', message: message([say('chat.tooOld')]) };
      const reasons = found.verdict.reasons.slice(0, 2).flatMap(({ reading }) => {
        const told = found.readings[reading];
        return told?.kind === 'answer' ? [say(`faults.answer.${told.question}.${told.answer}`).toLowerCase()] : [];
      });
      return { kind: 'private', message: whyMessage({ say, locale: pressed.locale }, found.view, found.verdict, reasons) };
    }, 'private', 'see'),
  ];

  const finderFor = (locale: string): Finder | undefined => finders.get(words.nearest(locale)) ?? finders.get('en');

  const whichGroup = (text: string, groups: number): number | null => {
    const low = text.toLowerCase();
    if (/\b(left)\b/.test(low)) return 1;
    if (/\b(right)\b/.test(low) && !/\b(right (now|after|away)|all right|alright)\b/.test(low)) return groups;
    if (/\b(middle|centre|center)\b/.test(low) && groups === 3) return 2;
    const found = /\b(?:group|grp|gr|head)\s*(?:no\.?|number|#)?\s*([1-4])\b/.exec(low);
    const number = Number(found?.[1]);
    return found && number <= groups ? number : null;
  };

  const takeComplaint = (sureOnly: boolean) => async (said: Said): Promise<Answer | undefined> => {
    if (said.text === '' || (said.reply && said.reply.kind !== 'case')) return undefined;
    const found = finderFor(said.locale)?.find(said.text) ?? { kind: 'none' as const };
    if (found.kind === 'none' || (sureOnly && found.kind !== 'sure') || (!sureOnly && !said.addressed && found.kind !== 'sure')) return undefined;
    const known = await read(store, async (tx) => {
      const cafe = said.cafes[0] === undefined ? undefined : await cafeById(tx, said.cafes[0]);
      const [machine] = cafe ? await machinesOf(tx, cafe.id) : [];
      return cafe && machine ? { cafe, machine, may: rightsOf(await rolesIn(tx, cafe, said.by)).has('answer') } : undefined;
    });
    if (!known) return { kind: 'say', message: message([words.in(said.locale)('ask.no-cafe')]) };
    if (!known.may) return { kind: 'say', message: message([words.in(said.locale)('chat.barOnly')]) };
    const symptom = found.kind === 'sure' ? found.symptom : null;
    await begin(said, { ...known, symptom, nearest: found.kind === 'sure' ? [] : found.nearest, group: whichGroup(said.text, known.machine.groups), readings: [], text: said.text });
    return { kind: 'noted' };
  };

  const dialogue: DialogueKind = {
    kind: 'case',
    take: async (said, { ref }) => {
      const row = await read(store, (tx) => caseById(tx, ref));
      const question = row?.question === null || row === undefined ? undefined : questions.get(row.question);
      if (!row || row.step !== 'ask' || !question) return undefined;
      const say = words.in(said.locale);
      const answer = matchAnswer(said.text, question.answers.map(({ id }) => ({ id, label: say(`faults.answer.${question.id}.${id}`) })), say('faults.answer.dont-know'), say('ask.button.back'), say('ask.button.leave'));
      if (answer.kind === 'none') return undefined;
      if (answer.kind === 'back') await change(ref, said.now, undefined, async (_tx, at) => (readingsOf(at).length > 0 ? { readings: JSON.stringify(readingsOf(at).slice(0, -1)), ...again } : undefined));
      else if (answer.kind === 'leave') await change(ref, said.now, undefined, async () => ({ step: 'paused', state: 'paused' }));
      else await giveAnswer(said, ref, question.id, answer.kind === 'answer' ? answer.id : undefined);
      return { kind: 'noted' };
    },
    again: async ({ ref }, here) => {
      const row = await read(store, (tx) => caseById(tx, ref));
      return row && row.closed_at === null && row.step !== 'paused' && row.step !== 'verdict' ? draw(ref, here.at, here.locale) : undefined;
    },
  };

  const notices: readonly NoticeKind[] = [
    { kind: 'case', show: ({ data, place }) => draw((data as { case: string }).case, place) },
    {
      kind: 'case.check',
      show: ({ data }) =>
        read(store, async (tx) => {
          const row = await caseById(tx, (data as { case: string }).case);
          const cafe = row && (await cafeById(tx, row.cafe));
          if (!row || !cafe || row.state !== 'fixed') return undefined;
          const say = words.in(cafe.language);
          return message([say('ask.check.quiet', { what: caseName({ say, locale: cafe.language }, { symptom: row.symptom, group: row.group_number }) })], [button(say('ask.button.still-good'), press('case.still', row.id, 'good'), 'main'), button(say('ask.button.again'), press('case.still', row.id, 'back'))]);
        }),
    },
  ];

  return {
    reckon,
    refresh: async (tx, caseId, now) => {
      const row = await caseById(tx, caseId);
      if (row) await refreshAt(tx, row, now);
    },
    tried: async (tx, caseId, job, result, by, now) => {
      const row = await caseById(tx, caseId);
      if (!row || row.closed_at !== null) return;
      const readings = withReading(row, { kind: 'tried', job, result, by: by.name, at: now });
      const moved = result === 'cured' ? await closing(tx, { ...row, readings }, now, 'fixed') : await advance(tx, { ...row, readings }, now);
      await changeCase(tx, caseId, { readings, ...moved, updated_at: now });
      const after = await caseById(tx, caseId);
      if (after) await refreshAt(tx, after, now);
    },
    presses,
    dialogues: [dialogue],
    words: [
      { name: 'case.sure', order: 40, take: takeComplaint(true) },
      { name: 'case.unsure', order: 70, take: takeComplaint(false) },
    ],
    commands: [{ name: 'problem', take: async (command) => (command.given['text'] ? ((await takeComplaint(false)({ ...command, text: command.given['text'], readable: true, addressed: true, attachments: [], voice: false })) ?? { kind: 'private', message: message([words.in(command.locale)('ask.none')]) }) : { kind: 'private', message: message([words.in(command.locale)('ask.none')]) }) }],
    notices,
    timers: [
      {
        kind: 'case.check',
        fire: async (tx, { ref }, now) => {
          const row = await caseById(tx, ref);
          if (row?.state !== 'fixed') return;
          await post(tx, ids, now, { key: `case.check.${ref}.${now}`, cafe: row.cafe, place: placeId(row.place), kind: 'case.check', data: { case: ref }, priority: 'other', silent: true, notAfter: later(now, days(1)) });
        },
      },
    ],
  };
};
