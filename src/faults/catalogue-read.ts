import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseCatalogue, type Catalogue, type CatalogueFile, type Finding } from './catalogue.ts';

const MAIN_FILES = ['symptoms.yaml', 'questions.yaml', 'facts.yaml', 'jobs.yaml', 'pairs.yaml'];

/** All files of the catalogue below a folder such as config/faults. */
export const catalogueFiles = (folder: string): readonly CatalogueFile[] => {
  const causes = readdirSync(join(folder, 'causes')).filter((name) => name.endsWith('.yaml')).sort().map((name) => `causes/${name}`);
  return [...MAIN_FILES, ...causes].map((file) => ({ file, text: readFileSync(join(folder, file), 'utf8') }));
};

/** A catalogue that cannot be used: one line for each thing to correct. */
export class BrokenCatalogue extends Error {
  readonly findings: readonly Finding[];
  constructor(folder: string, findings: readonly Finding[]) {
    super([`The fault catalogue in ${folder} cannot be used:`, ...findings.map(({ file, key, problem, cure }) => `${file} ${key}: ${problem}. ${cure}`)].join('\n'));
    this.findings = findings;
  }
}

/** Reads and checks the catalogue. Throws BrokenCatalogue with every finding at once. */
export const readCatalogue = (folder: string): Catalogue => {
  const parsed = parseCatalogue(catalogueFiles(folder));
  if (parsed.kind === 'broken') throw new BrokenCatalogue(folder, parsed.findings);
  return parsed.catalogue;
};
