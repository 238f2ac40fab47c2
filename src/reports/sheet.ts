import type { Moment } from '../cafe/hours-moments.ts';
import { cafeById, groupsOf, machinesOf, ownersOf, techniciansOf, type Cafe } from '../cafe/records.ts';
import type { Pressed, Subject } from '../cafe/subject.ts';
import type { Answer } from '../chat/incoming.ts';
import { message } from '../chat/message.ts';
import { siteOf } from '../faults/danger-needs.ts';
import { dutyOften } from '../routine/often.ts';
import { dutiesOf } from '../routine/records.ts';
import type { Job } from '../routine/standard.ts';
import { sinceText, sizeText } from '../seals/record-views.ts';
import { fittingIn, historyOf, recordOf } from '../seals/records.ts';
import type { Store, Tx } from '../store/store.ts';
import { read } from '../store/transact.ts';
import type { Words } from '../words/catalogue.ts';
import { sheetPage } from './sheet-page.ts';
import { sheetOf, type SheetCall, type SheetFacts } from './sheet-view.ts';

export type SheetNeeds = { readonly store: Store; readonly words: Words; readonly jobs: readonly Job[] };

/** The page for the wall: where to switch off, whom to call, what to do in danger, the routine and what is fitted. */
export const createSheet = ({ store, words, jobs }: SheetNeeds): Subject => {
  const order = new Map(jobs.map((job, i) => [job.id, i]));
  const show = (cafe: Cafe) => ({ say: words.in(cafe.language), reader: { locale: words.nearest(cafe.language), zone: cafe.zone } });

  const callsOf = async (tx: Tx, cafe: Cafe, gas: boolean): Promise<readonly SheetCall[]> => {
    const { say } = show(cafe);
    const [technician] = await techniciansOf(tx, cafe.id);
    const [owner] = await ownersOf(tx, cafe.id);
    return [
      { who: say('sheet.who.emergency'), number: cafe.emergency },
      ...(gas ? [{ who: say('sheet.who.gas'), number: cafe.gas_emergency }] : []),
      ...(cafe.poison_line === null ? [] : [{ who: say('sheet.who.poison'), number: cafe.poison_line }]),
      { who: say('sheet.who.technician', { name: technician?.name ?? 'none' }), number: technician?.telephone ?? null },
      { who: say('sheet.who.owner', { name: owner?.name ?? 'none' }), number: cafe.telephone },
    ];
  };

  const fittedIn = async (tx: Tx, cafe: Cafe): Promise<readonly string[]> => {
    const lines: string[] = [];
    for (const machine of await machinesOf(tx, cafe.id)) {
      const record = await recordOf(tx, machine.id);
      for (const { number } of await groupsOf(tx, machine.id)) {
        const seal = historyOf(machine, record, number).seals.findLast(({ outAt }) => outAt === null);
        const size = sizeText(show(cafe), { sizeMm: seal?.sizeMm ?? null, shimMm: seal?.shimMm ?? null });
        lines.push(show(cafe).say('sheet.fitted.line', { group: number, size, since: sinceText(show(cafe), fittingIn(record, number, 'seal') ?? null) }));
      }
    }
    return lines;
  };

  const factsFor = async (tx: Tx, cafe: Cafe, now: SheetFacts['now']): Promise<SheetFacts> => {
    const gas = (await machinesOf(tx, cafe.id)).some((machine) => machine.gas !== 'no');
    const duties = (await dutiesOf(tx, cafe.id)).filter((duty) => duty.active === 1).toSorted((a, b) => (order.get(a.job) ?? 99) - (order.get(b.job) ?? 99));
    const once = duties.filter((duty, i) => duties.findIndex((other) => other.job === duty.job && other.rrule === duty.rrule && other.moment === duty.moment) === i);
    return {
      cafe: cafe.name, now, site: siteOf(cafe), gas, calls: await callsOf(tx, cafe, gas), fitted: await fittedIn(tx, cafe),
      jobs: once.map((duty) => ({ job: duty.job, often: dutyOften(duty, jobs.find(({ id }) => id === duty.job)), moment: JSON.parse(duty.moment) as Moment, off: duty.switched_off === 1 })),
    };
  };

  const take = async (pressed: Pressed): Promise<Answer> => {
    const found = await read(store, async (tx) => {
      const cafe = await cafeById(tx, pressed.press.ids[0] ?? '');
      return cafe && sheetOf(show(cafe), await factsFor(tx, cafe, pressed.now));
    });
    const say = words.in(pressed.locale);
    if (!found) return { kind: 'private', message: message([say('look.gone')]) };
    return { kind: 'private', message: { ...message([say('sheet.here'), say('sheet.check')]), files: [{ name: 'wall-page.pdf', bytes: await sheetPage(found) }] } };
  };

  return { presses: [{ kind: 'sheet.page', ack: 'private', right: 'see', cafe: async (tx, given) => (await cafeById(tx, given.ids[0] ?? ''))?.id, take }] };
};
