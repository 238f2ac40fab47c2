import { z } from 'zod';

/** Lower-case words joined by hyphens. */
const id = z.string().regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'use lower-case letters, digits and single hyphens');
const chance = z.number().min(0).max(1);

/** What a machine, its café or its bar has; a question, cause or job that needs a missing trait is left out. */
export const TRAITS = [
  'mains', 'tank', 'filter', 'softener', 'gas', 'lever', 'exhaust', 'no-exhaust', 'boiler-gauge', 'pump-gauge', 'display', 'hot-tap', 'steam',
  'second-wand', 'second-group', 'second-handle', 'second-basket', 'manual-button', 'grinder', 'scale',
  'screen-screw', 'screen-press', 'screen-block', 'screen-unknown',
] as const;
const trait = z.enum(TRAITS);

/** Heat exchanger, separate brew boilers, single boiler, thermoblock, lever. */
export const MACHINE_KINDS = ['hx', 'sb', '1b', 'tb', 'lv'] as const;

/** What a cause makes dangerous to touch; a job bars the ones it must not meet. */
export const HAZARDS = ['electric', 'gas', 'boiler-over', 'hot-stream', 'trapped', 'handle-pops', 'lever-load', 'flood', 'contaminated', 'dry-boiler', 'power-on', 'no-rush', 'choked', 'thick-ring'] as const;
const hazard = z.enum(HAZARDS);

export const DANGER_KINDS = ['fire', 'electric', 'gas', 'steam', 'scald', 'pressure', 'chemical', 'flood', 'person'] as const;
const act = z.enum(['group-out', 'machine-off', 'leave-room']);
const danger = z.strictObject({ kind: z.enum(DANGER_KINDS), act });

const machineState = z.enum(['any', 'hot', 'cold']);
const reach = z.enum(['group', 'machine']);

/** Every chance so marked was elicited: common practice, no source. */
const source = z.literal('assumed');

const answer = z.strictObject({ id, state: id.optional(), danger: danger.optional() });
const question = z.strictObject({
  id,
  fact: id,
  minutes: z.number().positive().max(60),
  /** Money beside the minutes, in drinks. */
  drinks: z.number().min(0).max(5).default(0),
  needs: z.array(trait).default([]),
  hands: z.boolean().default(false),
  /** There is a text, `faults.show.<id>`, that shows how to look. */
  show: z.boolean().default(false),
  /** Read by a rule of the café (whose technician comes first), not as evidence. */
  rule: z.boolean().default(false),
  machine: machineState.default('any'),
  /** Chance that an answer names the state that is there. */
  right: z.number().min(0.5).max(1).default(0.9),
  unsure: chance.default(0.05),
  answers: z.array(answer).min(2).max(7),
});

const row = z.array(chance).min(2);
const fact = z.strictObject({
  id,
  states: z.array(id).min(2),
  parent: id.optional(),
  usual: z.union([row, z.record(id, row)]),
  /** Chances when two causes are there at once, where that says more than each of them. */
  pairs: row.optional(),
  idle: id.optional(),
});

const symptom = z.strictObject({
  id,
  areas: z.array(z.string().regex(/^[A-Z]$/)).min(1),
  about: z.enum(['group', 'machine', 'wand', 'lever', 'grinder', 'person']),
  needs: z.array(trait).default([]),
  immediate: danger.optional(),
  /** Asked first; while one is open no hands go to the machine. */
  dangers: z.array(id).default([]),
  questions: z.array(id).min(1),
});

/** Weights before normalising: some café staff see it yearly or oftener; every one to five years; rarer. */
export const RATES = { common: 10, occasional: 3, rare: 0.7 } as const;
const rate = z.union([z.enum(['common', 'occasional', 'rare']).transform((word) => RATES[word]), z.number().positive().max(20)]);

const states = z.record(id, chance);
const cause = z.strictObject({
  id,
  code: z.string().regex(/^[A-Z]\d{1,2}$/),
  fixer: z.enum(['staff', 'trained', 'technician', 'other-trade', 'nobody']),
  danger: z.enum(['none', 'group-out', 'machine-off', 'leave-room']).default('none'),
  /** What is hurt while it goes on, and with it from which chance the danger counts; `later`: the machine, but only by going on. */
  harm: z.enum(['nothing', 'later', 'machine', 'people']).default('nothing'),
  hazards: z.array(hazard).default([]),
  needs: z.array(trait).default([]),
  lacks: z.array(trait).default([]),
  kinds: z.array(z.enum(MACHINE_KINDS)).optional(),
  reach: reach.optional(),
  severity: chance.optional(),
  waste: z.number().min(0).max(60).optional(),
  floor: z.number().min(0).max(0.05).default(0),
  shows: z.record(id, rate),
  facts: z.record(id, z.union([states, z.record(id, states)])).default({}),
  cures: z.record(id, chance).default({}),
});

const job = z.strictObject({
  id,
  machine: machineState,
  minutes: z.number().positive().max(120),
  soak: z.number().positive().max(120).default(0),
  parts: z.enum(['none', 'low', 'mid', 'high']).default('none'),
  training: z.boolean().default(false),
  /** It begins with hands off, until the pressure has left by itself. */
  waits: z.boolean().default(false),
  down: z.strictObject({ reach, minutes: z.number().min(0).max(240) }).default({ reach: 'group', minutes: 0 }),
  needs: z.array(trait).default([]),
  bars: z.array(hazard).default([]),
  /** Block of cautions shown before the first step. */
  caution: z.enum(['hot', 'cold', 'none']).default('none'),
  kind: z.enum(['cure', 'diagnosis', 'interim', 'safety']).default('cure'),
});

const pair = z.strictObject({ parts: z.tuple([id, id]), shows: z.record(id, z.number().positive().max(5)) });

export const FILE_SCHEMAS = {
  questions: z.strictObject({ questions: z.array(question).min(1) }),
  facts: z.strictObject({ source, facts: z.array(fact).min(1) }),
  symptoms: z.strictObject({ symptoms: z.array(symptom).min(1) }),
  jobs: z.strictObject({ source, jobs: z.array(job).min(1) }),
  pairs: z.strictObject({ source, pairs: z.array(pair) }),
  causes: z.strictObject({
    area: z.string().regex(/^[A-Z]$/),
    source,
    defaults: z.strictObject({ reach, severity: chance, waste: z.number().min(0).max(60) }),
    causes: z.array(cause).min(1),
  }),
} as const;

export type Trait = (typeof TRAITS)[number];
export type MachineKind = (typeof MACHINE_KINDS)[number];
export type Hazard = (typeof HAZARDS)[number];
export type DangerKind = (typeof DANGER_KINDS)[number];
export type DangerCall = z.output<typeof danger>;
export type CatalogueQuestion = z.output<typeof question>;
export type CatalogueFact = z.output<typeof fact>;
export type CatalogueSymptom = z.output<typeof symptom>;
export type CatalogueJob = z.output<typeof job>;
export type CataloguePair = z.output<typeof pair>;
/** A cause with its file's defaults put in. */
export type CatalogueCause = Omit<z.output<typeof cause>, 'reach' | 'severity' | 'waste'> & {
  readonly area: string;
  readonly reach: 'group' | 'machine';
  readonly severity: number;
  readonly waste: number;
};
