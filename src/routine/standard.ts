import { readFileSync } from 'node:fs';
import { z } from 'zod';
import type { Moment } from '../cafe/hours-moments.ts';
import type { OnClosed } from '../cafe/hours-due.ts';
import { parseRule } from '../time/recurrence-text.ts';
import { parseLocalTime, type LocalTime } from '../time/wall-time.ts';
import { parseConfig } from '../words/config-file.ts';

/** Facts about a machine that decide which jobs it needs. */
export type MachineFact = 'exhaust' | 'lever' | 'tank' | 'softener' | 'gas' | 'filter' | 'always-on';

const FACTS = ['exhaust', 'lever', 'tank', 'softener', 'gas', 'filter', 'always-on'] as const satisfies readonly MachineFact[];

const clockTime = z.string().refine((text) => parseLocalTime(text) !== null, 'must be a time such as "10:00"').transform((text) => text as LocalTime);
const momentSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('before-opening'), minutes: z.number().int().min(0).max(480) }),
  z.strictObject({ kind: z.literal('at-closing') }),
  z.strictObject({ kind: z.literal('quiet') }),
  z.strictObject({ kind: z.literal('clock'), time: clockTime }),
  z.strictObject({ kind: z.literal('cold'), minutes: z.number().int().min(0).max(480), onClosedDay: clockTime }),
]);

const jobSchema = z
  .strictObject({
    id: z.string().regex(/^[a-z-]+$/),
    per: z.enum(['cafe', 'machine', 'group']).default('machine'),
    rule: z.string().refine((text) => parseRule(text).ok, 'is not a recurrence rule of RFC 5545, for example FREQ=WEEKLY;BYDAY=TH').optional(),
    use: z.strictObject({ every: z.number().positive(), of: z.enum(['coffees', 'litres', 'kg']) }).optional(),
    forecast: z.literal('seal').optional(),
    around: z.enum(['before-closure', 'after-closure', 'before-cold']).optional(),
    moment: momentSchema,
    onClosed: z.enum(['open-day-before', 'open-day-after', 'skip', 'stay']),
    state: z.enum(['hot', 'cold', 'either']),
    minutes: z.number().min(1).max(240),
    needs: z.array(z.enum(FACTS)).default([]),
    without: z.array(z.enum(FACTS)).default([]),
    detergent: z.boolean().default(false),
    residue: z.enum(['group', 'basket']).optional(),
    ends: z.boolean().default(false),
    atGroups: z.boolean().default(false),
    silent: z.boolean().default(false),
  })
  .refine((job) => job.rule !== undefined || job.use !== undefined || job.forecast !== undefined || job.around !== undefined, 'needs a rule, a use, a forecast or something it goes around: else it never comes')
  .refine((job) => job.forecast === undefined || job.per === 'group', { message: 'a seal is forecast for each group: say "per: group"', path: ['per'] })
  .refine((job) => job.state !== 'cold' || job.moment.kind === 'cold', { message: 'a cold job needs the moment "cold": at closing and in service the machine is hot', path: ['moment'] });

const schema = z.strictObject({ jobs: z.array(jobSchema).min(1) }).refine(({ jobs }) => new Set(jobs.map((job) => job.id)).size === jobs.length, 'two jobs have one id');

/** A job of the routine as config/routine.yaml describes it. */
export type Job = z.infer<typeof jobSchema>;
export type MomentKind = Moment['kind'];
export type { OnClosed };

export const parseRoutine = (text: string, file: string): readonly Job[] => parseConfig(schema, text, file).jobs;

export const readRoutine = (file: string): readonly Job[] => parseRoutine(readFileSync(file, 'utf8'), file);

/** The jobs this machine needs, in the order of the file. What is not known of a machine counts as not there. */
export const jobsFor = (jobs: readonly Job[], facts: ReadonlySet<MachineFact>): readonly Job[] =>
  jobs.filter((job) => job.needs.every((fact) => facts.has(fact)) && !job.without.some((fact) => facts.has(fact)));
