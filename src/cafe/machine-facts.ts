import { z } from 'zod';

const schema = z.object({
  /** Marked size of the group seals in millimetres. */
  seal: z.number().positive().optional(),
  /** Height of the paper shims above the seals in millimetres; 0: none. */
  shim: z.number().nonnegative().optional(),
  /** How the shower screen is held: by a screw, by the seal, or on a block. */
  screen: z.enum(['screw', 'seal', 'block']).optional(),
  /** What stands between the water main and the machine: none, resin, softener, carbon, osmosis or salt softener. */
  filter: z.string().optional(),
  /** Hardness of the water as it was written, with its unit. */
  hardness: z.string().optional(),
  plate: z.string().optional(),
  /** Whom the warranty, lease or loan names for work inside, with their number. */
  contractWho: z.string().optional(),
  volts: z.number().positive().optional(),
  installed: z.string().optional(),
  /** Minutes this machine needs to be cool enough to work on, and to be hot again; from its technician or its handbook. */
  coolMinutes: z.number().positive().optional(),
  heatMinutes: z.number().positive().optional(),
});

/** What the café said about a machine beyond its columns; what is missing is not known. */
export type MachineFacts = z.infer<typeof schema>;
export type MachineFactKey = keyof MachineFacts;

/** Text of the column `facts` of a machine. */
export const readMachineFacts = (text: string): MachineFacts => schema.parse(JSON.parse(text));
export const writeMachineFacts = (facts: MachineFacts): string => JSON.stringify(facts);

/** The text of a machine's facts with one more known; what this version does not know of stays as it is. */
export const withMachineFact = (text: string, key: MachineFactKey, value: string | number): string => {
  const all = JSON.parse(text) as Readonly<Record<string, unknown>>;
  return JSON.stringify({ ...all, ...schema.parse({ ...all, [key]: value }) });
};
