import { parseDocument } from 'yaml';
import { z } from 'zod';

const id = z.string().regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'use lower-case letters, digits and single hyphens');

/** Lines of the block of cautions that opens a part of a card. The last line, on local rules, is always there. */
export const COLD_LINES = ['off', 'unplug', 'water', 'gas', 'cool', 'steam', 'detergent', 'lever', 'glasses', 'stuck'] as const;
export const HOT_LINES = ['on', 'brush', 'handle', 'rush', 'detergent', 'lever', 'wand', 'tap', 'fire'] as const;

/** Where hands go in a step. `group` is the rim, lugs and handle from outside; `group-inside` seal, screen and block. */
export const SPOTS = ['group', 'group-inside', 'handle', 'wand', 'wand-inside', 'tap', 'tap-inside', 'tray', 'water', 'water-open', 'tank', 'grinder', 'grinder-inside', 'keys', 'bench', 'cup', 'room'] as const;
export const DOES = ['lock', 'unlock', 'backflush', 'run', 'steam', 'fit-ring', 'switch-off', 'switch-on'] as const;

/** What a machine must have for a card. Only those of `card-gate.ts` marked so count as missing while not known. */
export const CARD_FACTS = ['exhaust', 'screen-screw', 'screen-press', 'screen-block', 'mains', 'tank', 'filter', 'softener', 'second-group', 'lever', 'gas'] as const;
export const TOOLS = [
  'blind-basket', 'brush', 'cloth', 'detergent', 'gloves', 'glasses', 'scale', 'timer', 'jug', 'pick', 'flat-driver', 'stubby-driver', 'wide-driver', 'picks', 'scraper', 'torch', 'mirror', 'grease',
  'seal', 'shim', 'screen', 'screw', 'basket', 'handle', 'cartridge', 'strips', 'salt', 'burrs', 'beans', 'label', 'descaler', 'handbook', 'bowl', 'vacuum', 'marker',
] as const;

const lead = z.union([z.enum(['cured', 'better', 'same', 'danger', 'book']), z.strictObject({ step: z.number().int().min(1).max(20) })]);
const answer = z.strictObject({ id, leads: lead });
const answers = z.array(answer).min(2).max(5);

const step = z.strictObject({
  machine: z.enum(['hot', 'cold', 'either']),
  at: z.enum(SPOTS),
  does: z.array(z.enum(DOES)).default([]),
  detergent: z.boolean().default(false),
  /** `in`: from here detergent may be left behind; `out`: this step rinses it away. */
  residue: z.enum(['in', 'out']).optional(),
  /** Minutes to wait at the end of the step, or the machine's own time to get hot; the bot calls when they are over. */
  wait: z.union([z.number().int().min(1).max(120), z.literal('heat')]).optional(),
});

const part = z.discriminatedUnion('block', [
  z.strictObject({ block: z.literal('cold'), lines: z.array(z.enum(COLD_LINES)).min(1), steps: z.array(step).min(1) }),
  z.strictObject({ block: z.literal('hot'), lines: z.array(z.enum(HOT_LINES)).min(1), steps: z.array(step).min(1) }),
  z.strictObject({ block: z.literal('none'), steps: z.array(step).min(1) }).transform((each) => ({ ...each, lines: [] as readonly string[] })),
]);

const card = z.strictObject({
  job: id,
  for: z.enum(['group', 'machine', 'wand', 'grinder', 'bench']),
  /** marked: only for people the owner has marked; asked: asked once whether they were shown it; none: for everyone. */
  training: z.enum(['marked', 'asked', 'none']),
  minutes: z.number().positive().max(120),
  soak: z.number().min(0).max(120).default(0),
  /** What makes safe or brings a machine back: begun at any time, however soon the door opens. */
  urgent: z.boolean().default(false),
  tools: z.array(z.enum(TOOLS)).default([]),
  needs: z.array(z.enum(CARD_FACTS)).default([]),
  without: z.array(z.enum(CARD_FACTS)).default([]),
  /** Cards for one job on machines built differently. */
  family: id.optional(),
  /** The smaller thing to do while there is no time for this. */
  instead: id.optional(),
  /** Jobs of the routine that this card shows how to do. */
  routine: z.array(id).default([]),
  parts: z.array(part).min(1).max(3),
  check: z.strictObject({ machine: z.enum(['hot', 'cold', 'either']), answers }),
  again: z.array(z.strictObject({ when: z.enum(['two-shots', 'quiet', 'week']), answers })).default([]),
});

/** A job that does not say how the screen is held: it opens the card of its family that fits the machine. */
const choice = z.strictObject({ job: id, family: id });

const file = z.strictObject({ source: z.literal('assumed'), choices: z.array(choice).default([]), cards: z.array(card).min(1) });

export type Card = z.output<typeof card>;
export type CardPart = Card['parts'][number];
export type CardStep = CardPart['steps'][number];
export type CardLead = z.output<typeof lead>;
export type CardAnswer = z.output<typeof answer>;
export type CardFact = (typeof CARD_FACTS)[number];
export type AgainWhen = Card['again'][number]['when'];

/** One thing to correct, for whoever edits the file. */
export type CardFinding = { readonly file: string; readonly key: string; readonly problem: string; readonly cure: string };
export type CardFile = { readonly file: string; readonly text: string };

/** `cards[seal-screw].parts[0].lines`: cards by their job, since people search for names. */
const keyOf = (path: readonly PropertyKey[], data: unknown): string => {
  let here: unknown = data;
  return path
    .map((each) => {
      here = typeof here === 'object' && here !== null ? (here as Record<PropertyKey, unknown>)[each] : undefined;
      const name = typeof here === 'object' && here !== null && 'job' in here ? String(here.job) : String(each);
      return typeof each === 'number' ? `[${name}]` : `.${String(each)}`;
    })
    .join('')
    .replace(/^\./, '');
};

export type ReadCard = { readonly file: string; readonly card: Card };
export type ReadChoice = { readonly file: string; readonly job: string; readonly family: string };
export type ReadFile = { readonly cards: readonly ReadCard[]; readonly choices: readonly ReadChoice[] };

/** The cards of one file by their shape alone; `card-rules.ts` looks at what they say. */
export const parseCardFile = ({ file: name, text }: CardFile): ReadFile | { readonly findings: readonly CardFinding[] } => {
  const document = parseDocument(text, { uniqueKeys: true });
  if (document.errors.length > 0)
    return { findings: document.errors.map((error) => ({ file: name, key: `line ${error.linePos?.[0].line ?? '?'}`, problem: error.message.split('\n')[0] ?? error.code, cure: 'Correct the YAML at this line.' })) };
  const data: unknown = document.toJS();
  const parsed = file.safeParse(data);
  if (parsed.success) return { cards: parsed.data.cards.map((each) => ({ file: name, card: each })), choices: parsed.data.choices.map((each) => ({ file: name, ...each })) };
  return {
    findings: parsed.error.issues.map((issue) => ({
      file: name, key: keyOf(issue.path, data), problem: issue.message,
      cure: issue.code === 'unrecognized_keys' ? 'Correct the spelling of this key, or remove it.' : 'Correct this value; the cards beside it show the form.',
    })),
  };
};
