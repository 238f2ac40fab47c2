import type { Card, CardFinding, CardPart, CardStep, ReadFile } from './cards-config.ts';
import { cools, isCooled, screensOf } from './job-card.ts';

/** What the catalogue says of a job, as far as its card has to agree. */
export type JobFacts = { readonly id: string; readonly machine: 'any' | 'hot' | 'cold'; readonly minutes: number; readonly soak: number; readonly training: boolean; readonly caution: 'hot' | 'cold' | 'none' };

type Report = (key: string, problem: string, cure: string) => void;
type Rule = (step: CardStep, part: CardPart, card: Card) => readonly [problem: string, cure: string] | undefined;

const has = (part: CardPart, line: string): boolean => (part.lines as readonly string[]).includes(line);
const does = (step: CardStep, what: CardStep['does'][number]): boolean => step.does.includes(what);
const isOpened = (step: CardStep): boolean => step.at === 'group-inside' || step.at === 'wand-inside' || step.at === 'tap-inside';
const touchesHandle = (step: CardStep): boolean => step.at === 'handle' || does(step, 'unlock') || does(step, 'lock');

/** What has to be true of every step under the cautions of its part. The first that is not is told. */
const STEP_RULES: readonly Rule[] = [
  (step, part) => (step.machine === 'cold' && part.block !== 'cold' ? [`a cold step under the block "${part.block}"`, 'Move it into a part with the cold block, or make it a hot step.'] : undefined),
  (step, part) => (step.machine === 'cold' && !isCooled(part) ? ['a cold step, but the block does not ask to let it cool', 'Add the lines "off", "cool" and "steam".'] : undefined),
  (step, part) => (step.machine === 'hot' && part.block === 'cold' ? ['a hot step under the cold block', 'Move it into a part with the hot block, after switching on.'] : undefined),
  (step, part) => (step.machine === 'hot' && part.block === 'none' ? ['a hot step without cautions', 'Give the part the hot block.'] : undefined),
  (step, part) => (isOpened(step) && (part.block !== 'cold' || step.machine !== 'cold') ? [`hands inside (${step.at}) without the cold block`, 'Only on a cold machine: give the part the cold block and the step "machine: cold".'] : undefined),
  (step, part) => (isOpened(step) && !has(part, 'stuck') && !has(part, 'glasses') ? [`hands inside (${step.at}) without the line on stuck and sharp things`, 'Add the line "stuck", or "glasses" where a hard ring may break.'] : undefined),
  (step, part) => (does(step, 'switch-off') && part.block === 'hot' ? ['asks to switch off what has to stay on', 'Remove it: what needs the machine off is a cold card.'] : undefined),
  (step, part) => (does(step, 'backflush') && (part.block !== 'hot' || step.machine !== 'hot') ? ['a backflush on a machine that is off', 'A backflush needs the machine on and hot.'] : undefined),
  (step, part) => (does(step, 'backflush') && !has(part, 'rush') ? ['a backflush without the line on the rush into the tray', 'Add the line "rush": a handle under pressure is opened otherwise.'] : undefined),
  (step, part) => (step.detergent && !has(part, 'detergent') ? ['detergent without the line on gloves and glasses', 'Add the line "detergent".'] : undefined),
  (step, part) => (touchesHandle(step) && part.block === 'hot' && !has(part, 'handle') ? ['a hot handle without its line', 'Add the line "handle".'] : undefined),
  (step, part, card) => (touchesHandle(step) && part.block !== 'none' && !has(part, 'lever') && !card.without.includes('lever') ? ['a handle turned without the line on levers', 'Add the line "lever" (shown on lever machines only), or "without: [lever]".'] : undefined),
  (step, part) => (step.at === 'group' && part.block === 'hot' && !has(part, 'brush') ? ['hands at a hot group without the line on brush and cloth', 'Add the line "brush".'] : undefined),
  (step, part) => (step.at === 'wand' && part.block === 'hot' && !has(part, 'wand') ? ['a hot wand without its line', 'Add the line "wand".'] : undefined),
  (step, part) => (step.at === 'tap' && part.block === 'hot' && !has(part, 'tap') ? ['the hot tap without its line', 'Add the line "tap".'] : undefined),
  (step, part) => (step.at === 'grinder-inside' && !(part.block === 'cold' && has(part, 'unplug')) ? ['fingers in a grinder that may start', 'Give the part the cold block with the line "unplug".'] : undefined),
  (step, part) => (step.at === 'water-open' && !(part.block === 'cold' && has(part, 'water')) ? ['the water line is opened with its tap open', 'Give the part the cold block with the line "water".'] : undefined),
  (step, part) => (touchesHandle(step) && part.block === 'none' ? ['a handle is turned without cautions', 'Give the part the hot or the cold block.'] : undefined),
  (step, part, card) => (does(step, 'fit-ring') && !card.parts.some((each) => each.block === 'hot' && has(each, 'fire')) ? ['a new ring, and nobody is told to stand aside at the first run', 'Add the line "fire" to the hot part.'] : undefined),
];

/** Lines that come together: a block that names one without the other says half. */
const checkLines = (report: Report, part: CardPart, key: string): void => {
  if (part.block === 'hot' && !has(part, 'on')) report(`${key}.lines`, 'a hot block that does not say that the machine stays on', 'Add the line "on".');
  if (part.block !== 'cold') return;
  if (!has(part, 'off') && !has(part, 'unplug')) report(`${key}.lines`, 'a cold block that switches nothing off', 'Add the line "off", or "unplug" for a grinder.');
  for (const line of ['off', 'gas', 'steam'] as const) if (has(part, 'cool') && !has(part, line)) report(`${key}.lines`, `cool, but the line "${line}" is missing`, `Add the line "${line}".`);
  if (has(part, 'steam') && !has(part, 'cool')) report(`${key}.lines`, 'lets steam out of a machine that is not said to cool', 'Add the line "cool".');
};

const checkOrder = (report: Report, card: Card): void => {
  card.parts.forEach((part, p) => {
    const key = `parts[${p}]`;
    const before = card.parts[p - 1];
    const first = part.steps[0];
    if (before?.block === 'hot' && part.block === 'cold') report(key, 'a cold part after a hot one: hours of cooling lie between them', 'Make two cards of it.');
    if (before?.block === 'cold' && has(before, 'off') && part.block === 'hot' && !(first && does(first, 'switch-on'))) report(`${key}.steps`, 'goes on hot, and nobody has switched the machine on', 'Begin the part with a step that does "switch-on".');
    part.steps.forEach((step, s) => {
      if (does(step, 'switch-on') && part.block !== 'none' && !(before?.block === 'cold' && part.block === 'hot' && s === 0)) report(`${key}.steps[${s}]`, 'switches on in the middle of a part', 'Switching on begins the hot part that follows a cold one.');
    });
  });
  const last = card.parts.at(-1);
  const { machine } = card.check;
  if (machine === 'hot' && last?.block !== 'hot') report('check.machine', 'a check on a hot machine after a part that is not', 'Add a hot part before it, or check it cold.');
  if (machine === 'cold' && !isCooled(last)) report('check.machine', 'a check on a cold machine after a part that is hot', 'Check it hot, or end with the cold part.');
};

const checkResidue = (report: Report, card: Card): void => {
  let open = false;
  for (const step of card.parts.flatMap((part) => part.steps)) open = step.residue === 'in' || (open && step.residue !== 'out');
  if (open) report('parts', 'detergent goes in and no step rinses it out', 'Mark the step that rinses with "residue: out".');
};

const checkAnswers = (report: Report, card: Card, key: string, answers: Card['check']['answers']): void => {
  const steps = screensOf(card).filter((screen) => screen.kind === 'step').length;
  if (new Set(answers.map(({ id }) => id)).size !== answers.length) report(key, 'an answer twice', 'Remove one.');
  if (!answers.some(({ leads }) => leads === 'cured')) report(key, 'no answer says that it worked', 'Let one lead to "cured".');
  if (answers.every(({ leads }) => leads === 'cured')) report(key, 'no answer says that it did not work', 'Let one lead to same, book, danger or a step.');
  for (const { id, leads } of answers) if (typeof leads === 'object' && leads.step > steps) report(`${key}.${id}`, `there is no step ${leads.step}`, `Name one of the ${steps} steps.`);
};

const checkTraining = (report: Report, card: Card): void => {
  const inside = card.parts.some(isCooled) || card.parts.some((part) => part.steps.some((step) => step.at === 'grinder-inside' && card.minutes > 20));
  if (inside && card.training !== 'marked') report('training', 'work inside a machine for people who were never shown it', 'Make it "marked".');
  if (cools(card) && card.instead === undefined) report('instead', 'nothing smaller to do while there is no time to cool', 'Name a job that needs no cold machine.');
  if (card.parts.some((part) => part.steps.some((step) => does(step, 'backflush'))) && !(card.needs.includes('exhaust') && card.without.includes('lever')))
    report('needs', 'a backflush on a group that may have no exhaust valve', 'Add "needs: [exhaust]" and "without: [lever]".');
};

const checkCard = (report: Report, card: Card): void => {
  card.parts.forEach((part, p) => {
    checkLines(report, part, `parts[${p}]`);
    part.steps.forEach((step, s) => {
      const broken = STEP_RULES.map((rule) => rule(step, part, card)).find((each) => each !== undefined);
      if (broken) report(`parts[${p}].steps[${s}]`, ...broken);
    });
  });
  checkOrder(report, card);
  checkResidue(report, card);
  checkAnswers(report, card, 'check.answers', card.check.answers);
  card.again.forEach((again, i) => {
    checkAnswers(report, card, `again[${i}].answers`, again.answers);
    if (again.answers.some(({ leads }) => typeof leads === 'object')) report(`again[${i}].answers`, 'leads to a step of a card that is over', 'Lead to a result.');
  });
  checkTraining(report, card);
};

/** Cautions that contradict the steps, and whatever else would mislead someone with their hands at a machine. */
export const cardFindings = ({ cards: read, choices }: ReadFile): readonly CardFinding[] => {
  const findings: CardFinding[] = [];
  const byJob = new Map(read.map(({ card }) => [card.job, card]));
  const seen = new Set<string>();
  for (const { file, card } of read) {
    const report: Report = (key, problem, cure) => findings.push({ file, key: `cards[${card.job}].${key}`, problem, cure });
    if (seen.has(card.job)) report('job', 'two cards for one job', 'Remove one.');
    seen.add(card.job);
    checkCard(report, card);
    const instead = card.instead === undefined ? undefined : byJob.get(card.instead);
    if (card.instead !== undefined && !instead) report('instead', `"${card.instead}" has no card`, 'Name the job of another card.');
    if (instead && cools(instead)) report('instead', `"${instead.job}" needs a cold machine too`, 'Name a job that can be done hot.');
  }
  for (const { file, job, family } of choices) {
    const key = `choices[${job}]`;
    const kinds = read.filter(({ card }) => card.family === family).flatMap(({ card }) => card.needs.filter((fact) => fact.startsWith('screen-')));
    if (byJob.has(job)) findings.push({ file, key, problem: 'has a card of its own too', cure: 'Remove one.' });
    for (const kind of ['screen-screw', 'screen-press', 'screen-block'] as const)
      if (!kinds.includes(kind)) findings.push({ file, key, problem: `no card of the family "${family}" is for ${kind}`, cure: 'Write it, or correct the family.' });
  }
  return findings;
};

/** Where the cards and the catalogue of faults disagree on a job; a job without a card is one of them. */
export const jobFindings = ({ cards: read, choices }: ReadFile, jobs: readonly JobFacts[]): readonly CardFinding[] =>
  jobs.flatMap((job): readonly CardFinding[] => {
    if (choices.some((choice) => choice.job === job.id)) return [];
    const found = read.find(({ card }) => card.job === job.id);
    if (!found) return [{ file: 'cards', key: `cards[${job.id}]`, problem: 'this job has no card', cure: 'Write one; its neighbours show the form.' }];
    const { file, card } = found;
    const at = (key: string, problem: string, cure: string): CardFinding => ({ file, key: `cards[${card.job}].${key}`, problem, cure });
    const block = card.parts[0]?.block ?? 'none';
    return [
      ...(block === job.caution ? [] : [at('parts[0].block', `"${block}", but the job says "${job.caution}"`, 'Correct the card, or the job in config/faults/jobs.yaml.')]),
      ...(job.machine === 'cold' && !cools(card) ? [at('parts[0]', 'the job needs a cold machine, the card does not cool it', 'Add the lines "off", "cool" and "steam".')] : []),
      ...(job.machine !== 'cold' && cools(card) ? [at('parts', 'the card cools a machine that the job leaves hot', 'Correct the card, or the job.')] : []),
      ...(job.training && card.training !== 'marked' ? [at('training', 'the job is for people who were shown it', 'Make it "marked".')] : []),
      ...(card.minutes === job.minutes && card.soak === job.soak ? [] : [at('minutes', `${card.minutes} + ${card.soak}, but the job says ${job.minutes} + ${job.soak}`, 'Make them agree.')]),
    ];
  });
