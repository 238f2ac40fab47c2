import { z } from 'zod';
import type { Catalogue } from './catalogue.ts';

const choice = z.enum(['yes', 'no', 'unknown']).nullable();

/** One case in a file: a machine, what the café knows, and what could be told if asked. */
export const caseFile = z.object({
  id: z.string(),
  title: z.string().optional(),
  machine: z.object({ kind: z.enum(['HX', 'SB', 'SAT', '1B', 'TB', 'LV']), groups: z.number().int().min(1).max(6), lever: choice, exhaust: choice, gas: choice, feed: z.enum(['mains', 'tank']), contract: z.enum(['own', 'warranty', 'lease', 'loan']).optional() }),
  context: z.object({
    minutesToOpening: z.number().optional(), openNow: z.boolean(), trained: z.array(z.string()).optional(),
    records: z.looseObject({ sealAgeDays: z.number().optional(), weeksSinceScreenClean: z.number().optional(), daysSinceDetergentBackflush: z.number().optional(), filterAgeDays: z.number().optional(), monthsSinceService: z.number().optional() }).optional(),
  }),
  complaint: z.string(),
  symptom: z.string(),
  answers: z.record(z.string(), z.string()),
  trueCause: z.string().optional(),
  expected: z.object({ verdict: z.string(), also: z.array(z.string()).optional(), safe: z.object({ mustStop: z.boolean(), noHandsOn: z.boolean().optional(), machineOff: z.boolean().optional() }), why: z.string().optional() }).optional(),
});
export type CaseFile = z.infer<typeof caseFile>;

export type CasesRead = { readonly ok: true; readonly cases: readonly CaseFile[]; readonly many: boolean } | { readonly ok: false; readonly problem: string };

const lowered = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

const nameOf = (given: unknown, index: number): string => {
  const id = typeof given === 'object' && given !== null && 'id' in given && typeof given.id === 'string' ? given.id : undefined;
  return id === undefined ? `case ${index + 1}` : `case "${id}"`;
};

/** What the catalogue does not know of a case; undefined: all of it is known. */
const unknownIn = ({ symptoms, questions }: Pick<Catalogue, 'symptoms' | 'questions'>, { symptom, answers }: CaseFile): string | undefined => {
  if (!symptoms.some(({ id }) => id === symptom)) return `there is no complaint "${symptom}"; one of: ${symptoms.map(({ id }) => id).join(', ')}`;
  for (const [question, answer] of Object.entries(answers)) {
    const asked = questions.find(({ id }) => id === question);
    if (!asked) return `there is no question "${question}"; they stand in config/faults/questions.yaml`;
    if (!asked.answers.some(({ id }) => id === answer)) return `question "${question}" has no answer "${answer}"; one of: ${asked.answers.map(({ id }) => id).join(', ')}`;
  }
  return undefined;
};

/** Cases from the text of a file, one or a list; what is wrong is said in one sentence, with the case and the field. */
export const readCases = (catalogue: Pick<Catalogue, 'symptoms' | 'questions'>, text: string): CasesRead => {
  let given: unknown;
  try {
    given = JSON.parse(text);
  } catch {
    return { ok: false, problem: 'The file is no JSON. Compare it with tests/faults/cases/open.json.' };
  }
  const all: readonly unknown[] = Array.isArray(given) ? given : [given];
  const cases: CaseFile[] = [];
  for (const [index, each] of all.entries()) {
    const read = caseFile.safeParse(each);
    const [issue] = read.error?.issues ?? [];
    if (!read.success) return { ok: false, problem: `In ${nameOf(each, index)}, "${issue?.path.join('.') ?? ''}": ${lowered(issue?.message ?? '')}. The fields are told in tests/faults/cases/README.md.` };
    const unknown = unknownIn(catalogue, read.data);
    if (unknown !== undefined) return { ok: false, problem: `In ${nameOf(each, index)}, ${unknown}.` };
    cases.push(read.data);
  }
  return { ok: true, cases, many: Array.isArray(given) };
};
