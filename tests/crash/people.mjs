// What people do on the platform: they look at what is shown, press what is there, and are noted to have seen what came back.
import { markShown } from '../../dist/delivery/outbox.js';
import { read } from '../../dist/store/transact.js';
import { pressesOf } from './platform.mjs';

const named = (who) => who[0].toUpperCase() + who.slice(1);
/** What comes back when nothing was taken: nobody counts that as an answer. */
const NOT_TAKEN = ['routine.gone', 'routine.back.nothing'];

export const createPeople = ({ bot, store, platformDb, clock, words, seen: personSaw }) => {
  const say = words.in('en');
  const notTaken = new Set(NOT_TAKEN.map((key) => say(key)));
  const from = (event, who) => ({ id: event, by: { id: who, name: named(who), roles: ['bar'], manages: false }, at: 'c.bar', space: 'lantern' });
  const shown = () => platformDb.prepare('select * from message order by id desc').all().map((row) => ({ id: row.id, place: row.place, first: JSON.parse(row.first), message: JSON.parse(row.now) }));
  const isList = ({ first }) => pressesOf(first).find(({ kind }) => kind === 'routine.done') && pressesOf(first).some(({ kind }) => kind === 'routine.later');
  const newestList = () => shown().find(isList);
  const reminderOn = (list) => pressesOf(list.first).find(({ kind }) => kind === 'routine.done').ids[0];

  const note = platformDb.prepare('insert or ignore into taken values (?, ?, ?, ?, ?, ?, ?)');
  const noteTaken = (event, who, what, reminder, jobs, message) => note.run(event, who, what, reminder, JSON.stringify(jobs), clock.now(), message.lines.map(({ text }) => text).join(' / '));

  /** The person presses; what comes back is seen, and counts from then on. `about`: { reminder, jobs } the answer is about. */
  const give = async (step, what, incoming, on, about) => {
    const answer = await bot.router.take({ ...from(step.event, step.who), ...incoming, ...(on === undefined ? {} : { on: String(on) }) });
    if (answer?.kind !== 'redraw' || [answer.message, answer.private].some((message) => notTaken.has(message?.lines[0].text))) return answer;
    if (on !== undefined) platformDb.prepare('update message set now = ? where id = ?').run(JSON.stringify(answer.message), on);
    noteTaken(step.event, step.who, what, about.reminder ?? null, about.jobs ?? [], answer.message);
    personSaw();
    if (answer.shows) await markShown(store, answer.shows.key, answer.shows.version);
    return answer;
  };

  /** A button that the newest list has now; what is not there any more has been answered. */
  const onList = (kind) => {
    const list = newestList();
    const reminder = list && reminderOn(list);
    const on = list && shown().find(({ message }) => pressesOf(message).some((press) => press.kind === kind && press.ids[0] === reminder));
    return on && { on: on.id, reminder, press: pressesOf(on.message).find((press) => press.kind === kind && press.ids[0] === reminder) };
  };
  const anywhere = (fits) => {
    const on = shown().find(({ message }) => pressesOf(message).some(fits));
    return on && { on: on.id, press: pressesOf(on.message).find(fits) };
  };
  const jobsOf = (reminder) => read(store, async (tx) => (await tx.selectFrom('occurrence').select('id').where('reminder', '=', reminder).execute()).map(({ id }) => id));
  const reminderOf = (job) => read(store, async (tx) => (await tx.selectFrom('occurrence').select('reminder').where('id', '=', job).executeTakeFirst())?.reminder);

  const pressThere = (what, kind) => async (step) => {
    const there = onList(kind);
    if (there) await give(step, what, { kind: 'press', press: there.press }, there.on, there);
  };

  /** A press that only the presser sees answered, and the press on that answer. */
  const pressThrough = (what, first, second, picks = () => ({ picked: [], jobs: [] })) => async (step) => {
    const there = onList(first);
    if (!there) return;
    const asked = await give(step, what, { kind: 'press', press: there.press }, there.on, there);
    const press = asked?.kind === 'private' ? pressesOf(asked.message).find((each) => second(each, step)) : undefined;
    const { picked, jobs } = press ? picks(asked.message, step) : { picked: [], jobs: [] };
    if (press && picked !== undefined) await give(step, what, { kind: 'press', press, picked }, undefined, { reminder: there.reminder, jobs });
  };
  const picks = (message, { positions }) => {
    const options = message.rows.flatMap((row) => ('from' in row ? row.from : []));
    const picked = options.filter(({ label }) => positions.includes(Number.parseInt(label, 10))).map(({ value }) => value);
    return picked.length > 0 ? { picked, jobs: picked } : { picked: undefined, jobs: [] };
  };

  return {
    wait: async () => undefined,
    done: pressThere('done', 'routine.done'),
    back: pressThere('back', 'routine.back'),
    but: pressThere('but', 'routine.but'),
    these: pressThrough('these', 'routine.some', ({ kind }) => kind === 'routine.these', picks),
    later: pressThrough('later', 'routine.later', ({ kind, ids }) => kind === 'routine.later-to' && ids[1] === '30'),
    cant: pressThrough('cant', 'routine.cant', ({ kind, ids }, { reason }) => kind === 'routine.cant-why' && ids[1] === reason),
    end: async (step) => {
      const list = newestList();
      const mine = list ? await jobsOf(reminderOn(list)) : [];
      const there = anywhere((press) => press.kind === 'routine.end' && press.ids[1] === step.how && mine.includes(press.ids[0]));
      if (there) await give(step, `end ${step.how}`, { kind: 'press', press: there.press }, there.on, { reminder: await reminderOf(there.press.ids[0]), jobs: [there.press.ids[0]] });
    },
    // Everything that may have detergent in it: in which order it is said is nobody's promise.
    rinse: async (step) => {
      const warned = shown().flatMap(({ id, message }) => (pressesOf(message).length === 1 ? pressesOf(message).filter(({ kind }) => kind === 'routine.end').map((press) => ({ on: id, press })) : []));
      for (const { on, press } of warned) await give({ ...step, event: `${step.event}.${press.ids[0]}` }, 'end out', { kind: 'press', press }, on, { reminder: await reminderOf(press.ids[0]), jobs: [press.ids[0]] });
    },
    water: async (step) => {
      const there = anywhere((press) => press.kind === 'routine.water' && press.ids[1] === step.how);
      if (there) await give(step, `water ${step.how}`, { kind: 'press', press: there.press }, there.on, { reminder: await reminderOf(there.press.ids[0]), jobs: [there.press.ids[0]] });
    },
    early: async (step) => {
      const there = anywhere((press) => press.kind === 'routine.early' && press.ids[2] === 'all');
      if (there && Number(there.press.ids[1]) > clock.now()) await give(step, 'early', { kind: 'press', press: there.press }, there.on, {});
    },
    proof: async (step) => {
      const there = anywhere(({ kind }) => kind === 'routine.proof-add');
      if (there) await give(step, 'proof', { kind: 'answers', press: { kind: 'routine.proof-sent', ids: there.press.ids }, answers: { note: ['Seals brushed, nothing left in them'] } }, there.on, { reminder: await reminderOf(there.press.ids[0]), jobs: [there.press.ids[0]] });
    },
    'ask-proof': async (step) => {
      const duty = await read(store, (tx) => tx.selectFrom('duty').select('id').where('job', '=', 'brush-seals').executeTakeFirstOrThrow());
      await give(step, 'ask-proof', { kind: 'press', press: { kind: 'routine.proof-set', ids: [duty.id, 'note'] } }, undefined, { jobs: [duty.id] });
    },
    mark: async (step) => {
      const list = newestList();
      if (list) await bot.router.take({ ...from(step.event, step.who), kind: 'tick-mark', on: String(list.id), given: true });
    },
    say: async ({ event, who, text, early }) => {
      const list = early ? undefined : newestList();
      if (early || list) await bot.router.take({ ...from(event, who), kind: 'words', text, readable: true, addressed: true, ...(list ? { replyTo: String(list.id) } : {}) });
    },
  };
};
