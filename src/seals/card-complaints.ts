import { readFileSync } from 'node:fs';
import { z } from 'zod';
import { parseConfig } from '../words/config-file.ts';
import { DOES, SPOTS, type Card, type CardStep } from './cards-config.ts';
import { isCooled, screenAt, type Progress } from './job-card.ts';

const MOST = 3;

/** What may be wrong at a step, by what it does and where hands are; `stuck`: the complaint a stuck part would become. */
export type Complaints = {
  readonly does: Readonly<Partial<Record<(typeof DOES)[number], readonly string[]>>>;
  readonly at: Readonly<Partial<Record<(typeof SPOTS)[number], readonly string[]>>>;
  readonly stuck: Readonly<Partial<Record<(typeof SPOTS)[number], string>>>;
  /** By the answer of a last check. */
  readonly answers: Readonly<Record<string, string>>;
};

/** Reads config/complaints.yaml. Throws BrokenConfig for a complaint the catalogue does not have. */
export const readComplaints = (file: string, symptoms: readonly string[]): Complaints => {
  const symptom = z.string().refine((id) => symptoms.includes(id), { error: ({ input }) => `${String(input)} is no complaint of config/faults/symptoms.yaml` });
  const list = z.array(symptom).min(1).max(MOST);
  return parseConfig(z.strictObject({ does: z.partialRecord(z.enum(DOES), list), at: z.partialRecord(z.enum(SPOTS), list), stuck: z.partialRecord(z.enum(SPOTS), symptom), answers: z.record(z.string(), symptom) }), readFileSync(file, 'utf8'), file);
};

/** The step somebody stands at: behind the cautions of a part its first one, at the check the last one. */
const stepAt = (card: Card, { at, goesTo }: Pick<Progress, 'at' | 'goesTo'>): CardStep | undefined => {
  const screen = screenAt(card, goesTo ?? at);
  if (screen.kind === 'step') return screen.step;
  return screen.kind === 'block' ? card.parts[screen.part]?.steps[0] : card.parts.at(-1)?.steps.at(-1);
};

/** The complaints to choose from at this point of a card, the likeliest first. */
export const complaintsAt = (complaints: Complaints, card: Card, progress: Pick<Progress, 'at' | 'goesTo'>): readonly string[] => {
  const step = stepAt(card, progress);
  const all = step ? [...step.does.flatMap((what) => complaints.does[what] ?? []), ...(complaints.at[step.at] ?? [])] : [];
  return [...new Set(all)].slice(0, MOST);
};

/** The complaint a part that is stuck or broken here would become; undefined where nothing is open. */
export const stuckAt = (complaints: Complaints, card: Card, progress: Pick<Progress, 'at' | 'goesTo'>): string | undefined => {
  const step = stepAt(card, progress);
  return step && complaints.stuck[step.at];
};

/** The complaint that the answer to the last check is; undefined where the card ends with hands on nothing. */
export const complaintOf = (complaints: Complaints, card: Card, answer: string, progress: Pick<Progress, 'at' | 'goesTo'>): string | undefined =>
  complaints.answers[answer] ?? complaintsAt(complaints, card, progress)[0];

/** How the machine stands at this point of a card; null where the card does not say, or asks and nobody has answered. */
export const stateAt = (card: Card, { at, goesTo }: Pick<Progress, 'at' | 'goesTo'>): 'hot' | 'cold' | null => {
  const screen = screenAt(card, at);
  if (goesTo !== null || screen.kind === 'block') return null;
  const machine = screen.kind === 'step' ? screen.step.machine : card.check.machine;
  if (machine !== 'either') return machine;
  return isCooled(card.parts[screen.part]) ? 'cold' : null;
};
