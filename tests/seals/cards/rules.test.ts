import { parse, stringify } from 'yaml';
import { describe, expect, test } from 'vitest';
import { BrokenCards, checkCards, readCards } from '../../../src/seals/cards-read.ts';
import { files, staffJobs, textOf } from './config.ts';

type Loose = Record<string, unknown>;
type LooseCard = { job: string; parts: { block: string; lines?: string[]; steps: Loose[] }[]; check: { machine: string; answers: Loose[] } } & Loose;
type LooseFile = { cards: LooseCard[]; choices?: Loose[] };

/** What is found when one card of the real files is changed by hand. */
const after = (job: string, change: (card: LooseCard, file: LooseFile) => void): readonly string[] => {
  const changed = files.map(({ file, text }) => {
    const data = parse(text) as LooseFile;
    const card = data.cards.find((each) => each.job === job);
    if (!card) return { file, text };
    change(card, data);
    return { file, text: stringify(data) };
  });
  return checkCards(changed, staffJobs, textOf).findings.map(({ file, key, problem, cure }) => `${file} ${key}: ${problem}. ${cure}`);
};

const part = (card: LooseCard, p: number) => card.parts[p] as LooseCard['parts'][number];
const without = (card: LooseCard, p: number, line: string): void => {
  part(card, p).lines = (part(card, p).lines ?? []).filter((each) => each !== line);
};

/** A slip an editor of the file can make, and what the check says of it. */
const SLIPS: readonly (readonly [name: string, job: string, change: (card: LooseCard, file: LooseFile) => void, told: RegExp])[] = [
  ['a seal pick under the hot block', 'seal-screw', (card) => { part(card, 0).block = 'hot'; part(card, 0).lines = ['on', 'handle', 'lever', 'brush']; }, /parts\[0\]\.steps\[0\]: a cold step under the block "hot"/],
  ['hands inside a hot group', 'wipe-rim', (card) => { part(card, 0).steps[0] = { machine: 'hot', at: 'group-inside' }; }, /hands inside \(group-inside\) without the cold block/],
  ['power off before a backflush', 'backflush-water', (card) => { part(card, 0).steps.unshift({ machine: 'either', at: 'room', does: ['switch-off'] }); }, /asks to switch off what has to stay on/],
  ['a backflush on a cold machine', 'backflush-water', (card) => { part(card, 0).steps[1] = { machine: 'either', at: 'handle', does: ['backflush'] }; }, /a backflush on a machine that is off/],
  ['a backflush without the rush into the tray', 'backflush-water', (card) => without(card, 0, 'rush'), /without the line on the rush into the tray/],
  ['a backflush for a group without exhaust valve', 'backflush-detergent', (card) => { card['needs'] = []; }, /a group that may have no exhaust valve/],
  ['a backflush for a lever', 'backflush-detergent', (card) => { card['without'] = []; }, /a group that may have no exhaust valve|without the line on levers/],
  ['detergent without gloves', 'backflush-detergent', (card) => without(card, 0, 'detergent'), /detergent without the line on gloves and glasses/],
  ['detergent that nobody rinses out', 'backflush-detergent', (card) => { delete part(card, 0).steps[4]?.['residue']; }, /no step rinses it out/],
  ['a cold step, but no time to cool', 'seal-screw', (card) => without(card, 0, 'cool'), /does not ask to let it cool/],
  ['a cool machine with its steam in', 'seal-screw', (card) => without(card, 0, 'steam'), /cool, but the line "steam" is missing/],
  ['a cool machine with its gas open', 'seal-screw', (card) => without(card, 0, 'gas'), /cool, but the line "gas" is missing/],
  ['a ring hooked out without glasses', 'seal-screw', (card) => without(card, 0, 'glasses'), /without the line on stuck and sharp things/],
  ['a lever nobody speaks of', 'seal-screw', (card) => without(card, 0, 'lever'), /without the line on levers/],
  ['a first run with people in its line', 'seal-screw', (card) => without(card, 1, 'fire'), /nobody is told to stand aside/],
  ['a hot step before switching on', 'seal-screw', (card) => { part(card, 1).steps.shift(); }, /nobody has switched the machine on/],
  ['switching on in the middle', 'wipe-rim', (card) => { part(card, 0).steps.push({ machine: 'either', at: 'room', does: ['switch-on'] }); }, /switches on in the middle of a part/],
  ['cold work after hot work', 'seal-screw', (card) => { card.parts.reverse(); }, /hours of cooling lie between them/],
  ['a hot block that says nothing of staying on', 'wipe-rim', (card) => without(card, 0, 'on'), /does not say that the machine stays on/],
  ['a hot handle without its line', 'wipe-rim', (card) => without(card, 0, 'handle'), /a hot handle without its line/],
  ['a hot wand without its line', 'soak-wand', (card) => without(card, 0, 'wand'), /a hot wand without its line/],
  ['a hot tap without its line', 'clean-nozzle', (card) => without(card, 0, 'tap'), /the hot tap without its line/],
  ['fingers in a grinder with its plug in', 'clean-grinder', (card) => { part(card, 0).lines = ['off']; }, /fingers in a grinder that may start/],
  ['a filter opened under pressure', 'change-cartridge', (card) => without(card, 0, 'water'), /the water line is opened with its tap open/],
  ['a check on a hot machine that is cold', 'let-handle-cool', (card) => { card.check.machine = 'hot'; }, /a check on a hot machine after a part that is not/],
  ['a seal card for everybody', 'seal-screw', (card) => { card['training'] = 'none'; }, /for people who were never shown it|Make it "marked"/],
  ['nothing smaller to do', 'seal-screw', (card) => { delete card['instead']; }, /nothing smaller to do/],
  ['a smaller thing that is no smaller', 'seal-screw', (card) => { card['instead'] = 'seal-press'; }, /"seal-press" needs a cold machine too/],
  ['a smaller thing without a card', 'seal-screw', (card) => { card['instead'] = 'pray'; }, /"pray" has no card/],
  ['an answer into nowhere', 'backflush-detergent', (card) => { card.check.answers.push({ id: 'less', leads: { step: 9 } }); }, /there is no step 9/],
  ['no answer that it worked', 'wipe-rim', (card) => { card.check.answers = [{ id: 'less', leads: 'better' }, { id: 'same', leads: 'same' }]; }, /no answer says that it worked/],
  ['no answer that it did not', 'wipe-rim', (card) => { card.check.answers = [{ id: 'dry', leads: 'cured' }, { id: 'less', leads: 'cured' }]; }, /no answer says that it did not work/],
  ['a step without a text', 'wipe-rim', (card) => { part(card, 0).steps.push({ machine: 'hot', at: 'group' }); }, /cards\.wipe-rim\.3: there is no text/],
  ['a text without a step', 'wipe-rim', (card) => { part(card, 0).steps.pop(); }, /cards\.wipe-rim\.2: a text for a step that is not there/],
  ['two cards for one job', 'wipe-rim', (card, file) => { file.cards.push({ ...card }); }, /two cards for one job/],
  ['a job left without a card', 'wipe-rim', (card, file) => { file.cards = file.cards.filter((each) => each !== card); }, /cards\[wipe-rim\]: this job has no card|"wipe-rim" has no card/],
  ['minutes that are not the job\'s', 'wipe-rim', (card) => { card['minutes'] = 30; }, /30 \+ 0, but the job says 2 \+ 0/],
  ['a family without a card for one kind of screen', 'seal-block', (card, file) => { file.cards = file.cards.filter((each) => each !== card); }, /no card of the family "seal" is for screen-block/],
  ['a misspelt key', 'wipe-rim', (card) => { card['trainig'] = 'none'; }, /cards\[wipe-rim\].*(Unrecognized|unrecognized).*Correct the spelling/],
  ['a line no block has', 'wipe-rim', (card) => { part(card, 0).lines?.push('helmet'); }, /cards\[wipe-rim\]\.parts\[0\]\.lines\[4\]: Invalid/],
];

describe('the check of config/cards refuses', () => {
  test.each(SLIPS)('%s', (_, job, change, told) => {
    const found = after(job, change);
    expect(found.some((each) => told.test(each)), found.join('\n')).toBe(true);
  });

  test('nothing as it is', () => {
    expect(after('wipe-rim', () => undefined)).toEqual([]);
  });
});

test('a file that is no YAML is told with its line; a folder with a finding is not read', () => {
  const { findings } = checkCards([{ file: 'broken.yaml', text: 'cards: [\n  - {' }], []);
  expect(findings[0]).toMatchObject({ file: 'broken.yaml', cure: 'Correct the YAML at this line.' });
  expect(() => readCards('config/cards', [{ id: 'no-such-job', machine: 'any', minutes: 1, soak: 0, training: false, caution: 'none' }])).toThrow(BrokenCards);
});
