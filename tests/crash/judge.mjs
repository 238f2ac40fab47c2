// What has to be true of the database and the platform: after a death, and at the end.
import { pressesOf } from './platform.mjs';
import { CLOSINGS } from './script.mjs';

const stateOf = (db, job) => db.prepare('select state, note from occurrence where id = ?').get(job);
const openOf = (db, reminder, states = ['due', 'later', 'part done']) => db.prepare('select position, job, state from occurrence where reminder = ?').all(reminder).filter(({ state }) => states.includes(state));

/** What each answer that was seen taken has to have left in the database; a text where it has not. */
const KEPT = {
  done: (db, { reminder }) => openOf(db, reminder).length === 0,
  but: (db, { reminder }) => openOf(db, reminder, ['done', 'asked', 'soaking']).length > 0,
  these: (db, { jobs }) => jobs.every((job) => ['done', 'asked', 'soaking'].includes(stateOf(db, job)?.state)),
  later: (db, { reminder }) => openOf(db, reminder, ['due']).length === 0 && openOf(db, reminder, ['later']).length > 0,
  cant: (db, { reminder }) => openOf(db, reminder).length === 0,
  back: (db, { reminder }) => openOf(db, reminder, ['due']).length > 0,
  'end out': (db, { jobs }) => stateOf(db, jobs[0])?.state === 'done',
  'end still': (db, { jobs }) => stateOf(db, jobs[0])?.state === 'soaking',
  'end not-started': (db, { jobs }) => stateOf(db, jobs[0])?.state === 'left over',
  'water done': (db, { jobs }) => stateOf(db, jobs[0])?.state === 'done',
  'water no': (db, { jobs }) => stateOf(db, jobs[0])?.state === "can't",
  early: (db, { at }) => db.prepare('select count(*) as n from done_early where at <= ?').get(at).n > 0 || db.prepare("select count(*) as n from occurrence where state = 'done' and done_at = ?").get(at).n > 0,
  proof: (db, { jobs }) => (stateOf(db, jobs[0])?.note ?? null) !== null,
  'ask-proof': (db, { jobs }) => db.prepare('select proof from duty where id = ?').get(jobs[0])?.proof === 'note',
};

const takenOn = (platform) => platform.prepare('select * from taken order by rowid').all().map((row) => ({ ...row, jobs: JSON.parse(row.jobs) }));
const lost = (db, taken) => {
  if (KEPT[taken.what] === undefined) throw new Error(`nobody knows what "${taken.what}" has to leave behind`);
  const stored = taken.reminder === null ? '' : db.prepare('select position, job, state from occurrence where reminder = ?').all(taken.reminder).map(({ position, job, state }) => `${position} ${job} ${state}`).join(', ');
  return KEPT[taken.what](db, taken) ? [] : [`${taken.event}: ${taken.who} saw "${taken.seen}" (${taken.what}), stored is ${stored}`];
};

/** Right after a death, before anything else happens: the answer somebody has just seen taken is stored. `event`: what was under way. */
export const lostAtDeath = (db, platform, event) => {
  const last = takenOn(platform).at(-1);
  return last && (last.event === event || last.event.startsWith(`${event}.`)) ? { looked: 1, problems: lost(db, last) } : { looked: 0, problems: [] };
};

const remindersIn = (db) => db.prepare('select id, due_at, moment from reminder order by due_at, moment, id').all();
const jobsOf = (db, id) => db.prepare('select job, group_number, state, by_name, reason, note from occurrence where reminder = ? order by position').all(id);
const nameOf = (db, { id, due_at, moment }) => `${new Date(due_at).toISOString()} ${moment} ${jobsOf(db, id).map(({ job, group_number }) => `${job}${group_number ?? ''}`).join(',')}`;

/** How often each list was posted, counted on the platform; with its buttons, for an answer to it has others. */
const postedOn = (platform) => {
  const posted = new Map();
  for (const { first } of platform.prepare('select first from message').all()) {
    const presses = pressesOf(JSON.parse(first));
    const done = presses.find(({ kind }) => kind === 'routine.done');
    if (done && presses.some(({ kind }) => kind === 'routine.later')) posted.set(done.ids[0], (posted.get(done.ids[0]) ?? 0) + 1);
  }
  return posted;
};

/** Every list that was due: how often it was posted, and what became of each of its jobs. */
export const planOf = (db, platform) => {
  const posted = postedOn(platform);
  return new Map(remindersIn(db).map((reminder) => [nameOf(db, reminder), { id: reminder.id, due: reminder.due_at, posted: posted.get(reminder.id) ?? 0, jobs: jobsOf(db, reminder.id).map(({ job, group_number, state, by_name, reason, note }) => [job, group_number, state, by_name, reason, note].join(' | ')) }]));
};

/** Messages nobody can say of whether they arrived: sent, not marked, and the place's history closed to the bot. */
const uncertainIn = (db) => db.prepare("select key, kind, cafe, created_at, place from outbox where state = 'failed' and trouble = 'unreadable'").all();
const dayOf = (at) => new Date(at + 3_600_000).toISOString().slice(0, 10);

/** Told once a day and place that one may be missing; an answer to somebody's words belongs to no café, and whoever wrote asks again. */
const untold = (db, uncertain) => {
  const told = db.prepare("select data from outbox where kind = 'delivery.trouble' and state = 'sent'").all().map(({ data }) => JSON.parse(data)).filter(({ why }) => why === 'unreadable');
  const days = new Set(uncertain.filter(({ kind, cafe }) => kind !== 'delivery.trouble' && cafe !== null).map(({ place, created_at }) => `${place} ${dayOf(created_at)}`));
  return Math.abs(told.length - days.size) === 0 ? [] : [`a message may be missing on ${[...days].join(', ') || 'no day'}, told ${told.length} times; ${uncertain.map(({ key }) => key).join(', ')}`];
};

const withoutNote = (job) => job.slice(0, job.lastIndexOf(' | '));
/** A note that nobody saw taken need not be there: the question for it may have come when whoever writes it had gone. */
const sameJob = (due, is, noteSeen) => due === is || (!noteSeen && withoutNote(due) === withoutNote(is) && is.endsWith(' | '));

/** `answers`: what was seen taken about this list, for whoever looks for the cause. */
const differences = (name, due, is, sure, answers) => {
  if (!is) return [`never planned: ${name}`];
  if (!sure) return is.posted > due.posted ? [`${name}: posted ${is.posted} times, due ${due.posted}, though nobody could know`] : [];
  return [
    ...(is.posted === due.posted ? [] : [`${name}: posted ${is.posted} times, due ${due.posted}`]),
    ...due.jobs.flatMap((job, i) => (sameJob(job, is.jobs[i], answers.includes(' proof ')) ? [] : [`${name}: ends as "${is.jobs[i]}", without a death as "${job}", answers ${answers}`])),
  ];
};

/** A list is posted once, and once more for each time somebody put it off. */
export const oddInPlan = (platform, plan) => {
  const off = takenOn(platform).filter(({ what }) => what === 'later');
  const closings = [...plan].filter(([name]) => name.includes(' at-closing ')).map(([, { due }]) => new Date(due).toISOString());
  return [
    ...[...plan].filter(([, { id, posted }]) => posted !== 1 + off.filter(({ reminder }) => reminder === id).length).map(([name, { posted }]) => `without a death ${name} is posted ${posted} times`),
    ...(JSON.stringify(closings) === JSON.stringify(CLOSINGS) ? [] : [`closings at ${closings.join(', ')}`]),
  ];
};

/** Problems found after the last life, in words. `expected`: the plan of the same two weeks without a death. */
export const judge = (db, platform, expected, end) => {
  const plan = planOf(db, platform);
  const uncertain = uncertainIn(db);
  const days = new Set(uncertain.map(({ created_at }) => dayOf(created_at)));
  const isSure = ({ due }) => !days.has(dayOf(due));
  const taken = takenOn(platform);
  const answersOn = (id) => taken.filter(({ reminder }) => reminder === id).map(({ event, what, who, at }) => `${event} ${what} ${who} ${new Date(at).toISOString()}`).join(', ');
  const last = taken.filter((each, i) => each.reminder === null || !taken.slice(i + 1).some(({ reminder }) => reminder === each.reminder));
  const firsts = platform.prepare('select first from message').all().map(({ first }) => JSON.parse(first).lines[0].text);
  const thanks = firsts.filter((text) => text.startsWith('Thanks, ')).length;
  const counted = (kind, states) => db.prepare(`select count(*) as n from outbox where kind = ? and state in (${states.map(() => '?').join(',')})`).get(kind, ...states).n;
  const [sure, most] = [counted('routine.thanks', ['sent']), counted('routine.thanks', ['sent', 'failed'])];
  const stale = db.prepare("select key, state, trouble from outbox where (state in ('ready', 'claimed') or (state = 'failed' and trouble <> 'unreadable')) and not_before < ?").all(platform.prepare('select now from progress').get().now);
  const problems = [
    ...end.differing.map(({ key, version, shown, stored, seen }) => `${key}, version ${shown} of ${version}, is seen as\n    ${seen}\n    and stored as\n    ${stored}`),
    ...[...expected].flatMap(([name, due]) => differences(name, due, plan.get(name), isSure(due), answersOn(plan.get(name)?.id))),
    ...[...plan.keys()].filter((name) => !expected.has(name)).map((name) => `planned out of turn: ${name}`),
    ...last.filter(({ what, at }) => what !== 'later' && what !== 'early' && !days.has(dayOf(at))).flatMap((each) => lost(db, each)),
    ...(thanks < sure || thanks > most ? [`${thanks} thanks seen, ${sure} stored`] : []),
    ...stale.map(({ key, state, trouble }) => `never went out: ${key}, ${state}, ${trouble}`),
    ...untold(db, uncertain),
  ];
  return { problems, lists: [...plan.values()].reduce((sum, { posted }) => sum + posted, 0), taken: taken.length, words: thanks, uncertain: uncertain.length, ways: taken.map(({ what }) => what) };
};
