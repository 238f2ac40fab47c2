import { parse } from 'yaml';
import { z } from 'zod';

/** A file of config/ that cannot be used: where, what, and what to do. */
export class BrokenConfig extends Error {}

/** The text of one YAML file, held against its schema. @throws BrokenConfig naming file, line or key, and cure. */
export const parseConfig = <T extends z.ZodType>(schema: T, text: string, file: string): z.output<T> => {
  let raw: unknown;
  try {
    raw = parse(text);
  } catch (cause) {
    throw new BrokenConfig(`${file} is not readable YAML: ${cause instanceof Error ? cause.message : ''}`, { cause });
  }
  const parsed = schema.safeParse(raw);
  if (!parsed.success) throw new BrokenConfig(`${file} needs a change:\n${z.prettifyError(parsed.error)}`);
  return parsed.data;
};
