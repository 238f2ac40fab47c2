import type { Say } from '../words/catalogue.ts';
import type { Instant } from '../time/instant.ts';
import type { Verdict } from './verdict.ts';

/** An answer that speaks for a cause; `seen`: it stands on record since then, nobody was asked. */
export type Because = { readonly question: string; readonly answer: string; readonly seen: Instant | null };

/** A case as it is shown: where it stands, in the words of the catalogue's ids. */
export type CaseView = {
  readonly id: string;
  readonly cafe: string;
  readonly zone: string;
  readonly step: string;
  readonly symptom: string | null;
  readonly group: number | null;
  readonly groups: number;
  /** Which of several machines; null where the café has one. */
  readonly machineNumber: number | null;
  readonly nearest: readonly string[];
  /** The open question; `show`: it can be shown how to look. */
  readonly question: { readonly id: string; readonly answers: readonly string[]; readonly show: boolean } | null;
  /** A danger is not ruled out yet: the machine rests while this is asked. */
  readonly hold: boolean;
  readonly answered: number;
  readonly verdict: Verdict | null;
  readonly jobMinutes: number | null;
  /** The likeliest cause which the verdict is an answer to. */
  readonly lead: { readonly cause: string; readonly chance: number } | null;
  /** Answers so far with their place among the readings; null: nobody knew. */
  readonly given: readonly { readonly at: number; readonly question: string; readonly answer: string | null }[];
  /** Answers that spoke for the likeliest cause, the weightiest first. */
  readonly because: readonly Because[];
  readonly currency: string | null;
  /** Whose technician comes first, where the machine is not the café's own. */
  readonly contract: 'warranty' | 'lease' | 'loan' | null;
  /** Whom that contract names, with their number; null: not said. */
  readonly contractWho: string | null;
  /** Money is shown to those who pay. */
  readonly showMoney: boolean;
  /** Shown to somebody who need not be at the machine. */
  readonly away: boolean;
  /** Who asked, where the case is shown to others than them. */
  readonly askedBy: string | null;
  /** The bar has been asked, and this is the one who waits for it. */
  readonly waiting: boolean;
  readonly closed: string | null;
};

export type Show = { readonly say: Say; readonly locale: string };

/** What is asked about, and where: "Drips at rest, group 2". */
export const caseName = ({ say }: Show, { symptom, group, groups, machineNumber }: Pick<CaseView, 'symptom' | 'group'> & { readonly groups?: number; readonly machineNumber?: number | null }): string => {
  const name = symptom === null ? say('ask.case.unnamed') : group === null || groups === 1 ? say(`faults.symptom.${symptom}.short`) : say('ask.case.group', { symptom: say(`faults.symptom.${symptom}.short`), group });
  return machineNumber == null ? name : say('ask.case.machine', { name, machine: machineNumber });
};
