import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { cardFindings, jobFindings, type JobFacts } from './card-rules.ts';
import { cardWordFindings } from './card-texts.ts';
import { parseCardFile, type Card, type CardFile, type CardFinding, type ReadFile } from './cards-config.ts';

/** All cards by their job, and jobs that open one of a family of cards. */
export type CardBook = { readonly cards: ReadonlyMap<string, Card>; readonly choices: ReadonlyMap<string, string> };

/** Cards that cannot be used: one line for each thing to correct. */
export class BrokenCards extends Error {
  readonly findings: readonly CardFinding[];
  constructor(folder: string, findings: readonly CardFinding[]) {
    super([`The job cards in ${folder} cannot be used:`, ...findings.map(({ file, key, problem, cure }) => `${file} ${key}: ${problem}. ${cure}`)].join('\n'));
    this.findings = findings;
  }
}

export const cardFiles = (folder: string): readonly CardFile[] =>
  readdirSync(folder).filter((name) => name.endsWith('.yaml')).sort().map((name) => ({ file: name, text: readFileSync(join(folder, name), 'utf8') }));

/** What is wrong with these files, all of it at once; the cards when nothing is. `text` gives a key's words, to be checked too. */
export const checkCards = (files: readonly CardFile[], jobs: readonly JobFacts[], text?: (key: string) => string | undefined): { readonly book: CardBook; readonly findings: readonly CardFinding[] } => {
  const parsed = files.map(parseCardFile);
  const shape = parsed.flatMap((each) => ('findings' in each ? each.findings : []));
  const read: ReadFile = {
    cards: parsed.flatMap((each) => ('findings' in each ? [] : each.cards)),
    choices: parsed.flatMap((each) => ('findings' in each ? [] : each.choices)),
  };
  const said = shape.length > 0 ? [] : [...cardFindings(read), ...jobFindings(read, jobs), ...(text ? cardWordFindings(read, text) : [])];
  return { book: { cards: new Map(read.cards.map(({ card }) => [card.job, card])), choices: new Map(read.choices.map(({ job, family }) => [job, family])) }, findings: [...shape, ...said] };
};

/** Reads and checks every card below a folder such as config/cards. Throws BrokenCards with every finding at once. */
export const readCards = (folder: string, jobs: readonly JobFacts[], text?: (key: string) => string | undefined): CardBook => {
  const { book, findings } = checkCards(cardFiles(folder), jobs, text);
  if (findings.length > 0) throw new BrokenCards(folder, findings);
  return book;
};
