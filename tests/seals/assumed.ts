import { readFileSync } from 'node:fs';
import { sealConstants } from '../../src/seals/constants.ts';

/** The constants the project ships with. */
export const assumed = sealConstants(readFileSync(new URL('../../config/seals.yaml', import.meta.url), 'utf8'));
