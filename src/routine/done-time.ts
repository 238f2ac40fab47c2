import { cafeById } from '../cafe/records.ts';
import type { NoticeKind, TimerKind } from '../cafe/subject.ts';
import { button, line, message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { placeId } from '../chat/who.ts';
import { post } from '../store/post.ts';
import { read } from '../store/transact.ts';
import { hours, instant, later } from '../time/instant.ts';
import { dateAt } from '../time/wall-time.ts';
import { clockTime } from '../words/format.ts';
import type { DoneNeeds, ListDesk, Thanks } from './list-desk.ts';
import { mayHoldDetergent, warnAtOpening } from './residue.ts';
import { closeReminder, occurrenceById, occurrencesOf, reminderById, writeChanges } from './records.ts';
import { nextAgain, redrawJobs, redrawList, redrawThanks } from './thanks.ts';
import { askAboutSilence } from './unanswered.ts';

/** What happens to a list as time goes by, and how its messages look. */
export const listTimes = ({ store, words, ids, jobs }: DoneNeeds, { showIn, drawList, drawThanks }: ListDesk): { readonly timers: readonly TimerKind[]; readonly notices: readonly NoticeKind[] } => {
  const groups = new Set(jobs.filter(({ residue }) => residue === 'group').map(({ id }) => id));
  const timers: readonly TimerKind[] = [
    {
      kind: 'routine.close',
      fire: async (tx, { ref }, now) => {
        const reminder = await reminderById(tx, ref);
        if (!reminder) return;
        const rows = await occurrencesOf(tx, ref);
        await writeChanges(tx, rows.filter((row) => ['due', 'later', 'part done', 'asked'].includes(row.state)).map((row) => ({ id: row.id, to: 'left over' as const })), { person: null, name: '' }, now);
        await closeReminder(tx, ref);
        if (reminder.moment === 'at-closing') await askAboutSilence(tx, { ids }, reminder.cafe, now);
        await redrawList(tx, ref, now);
        await redrawThanks(tx, ref, now);
        await redrawJobs(tx, rows.map(({ id }) => id), now);
      },
    },
    {
      kind: 'routine.again',
      fire: async (tx, { ref }, now) => {
        const reminder = await reminderById(tx, ref);
        const rows = (await occurrencesOf(tx, ref)).filter((row) => row.state === 'later');
        if (!reminder || reminder.state === 'closed' || rows.length === 0) return;
        for (const row of rows) await tx.updateTable('occurrence').set({ state: 'due', later_until: null, done_at: null, by_name: null, by_person: null }).where('id', '=', row.id).execute();
        await post(tx, ids, now, { key: await nextAgain(tx, ref), cafe: reminder.cafe, place: placeId(reminder.place), kind: 'reminder', data: { reminder: ref }, priority: 'reminder', notAfter: later(now, hours(6)) });
        await redrawList(tx, ref, now);
      },
    },
    {
      kind: 'routine.rinse',
      fire: async (tx, { ref }, now) => {
        const row = await occurrenceById(tx, ref);
        const cafe = row && (await cafeById(tx, row.cafe));
        if (!row || !cafe || cafe.place === null || row.state === 'done') return;
        await warnAtOpening(tx, ids, row, now);
        await post(tx, ids, now, { key: `rinse.${ref}.${dateAt(now, cafe.zone)}`, cafe: cafe.id, place: placeId(cafe.place), kind: 'routine.rinse', data: { occurrence: ref }, priority: 'answer' });
      },
    },
  ];

  const notices: readonly NoticeKind[] = [
    { kind: 'reminder', show: ({ data }) => drawList((data as { reminder: string }).reminder) },
    { kind: 'routine.thanks', show: ({ data }) => drawThanks(data as Thanks) },
    {
      kind: 'routine.rinse',
      show: ({ data }) =>
        read(store, async (tx) => {
          const row = await occurrenceById(tx, (data as { occurrence: string }).occurrence);
          const cafe = row && (await cafeById(tx, row.cafe));
          if (!row || !cafe || !(await mayHoldDetergent(tx, row.id))) return undefined;
          const say = words.in(cafe.language);
          return message([line(say('routine.rinse.first', { what: say(`routine.job.${row.job}.residue`) }), 'strong'), say(groups.has(row.job) ? 'routine.rinse.how-group' : 'routine.rinse.how')], [button(say('routine.rinse.rinsed'), press('routine.end', row.id, 'out'), 'main')]);
        }),
    },
    {
      kind: 'routine.away',
      show: ({ data }) =>
        read(store, async (tx) => {
          const away = data as { cafe: string; until: number; counts: Readonly<Record<string, number>> };
          const cafe = await cafeById(tx, away.cafe);
          if (!cafe) return undefined;
          const { say, reader } = showIn(cafe);
          const list = Object.entries(away.counts).map(([job, count]) => say('routine.away.job', { job: say(`routine.job.${job}.short`), count }));
          const cut = list.length > 4 ? [...list.slice(0, 4), '…'] : list;
          return message([say('routine.away.first', { time: clockTime(instant(away.until), reader) }), say('routine.away.jobs', { jobs: cut.join(', ') }), line(say('routine.away.last'), 'quiet')]);
        }),
    },
  ];

  return { timers, notices };
};
