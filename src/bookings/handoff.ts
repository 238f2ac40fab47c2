import { days, type Instant } from '../time/instant.ts';
import { straightKm, type Place } from './distance.ts';
import { withoutPrivate } from './handoff-private.ts';
import type { DangerNow, HandoffFacts, LikelyCause, MissingFact, SealFacts } from './handoff-facts.ts';
import type { PartCount } from './kit.ts';
import { tidy, type Span } from './span.ts';

export type Reader = {
  /** The café has linked this technician: they may know its name before they take the job. */
  readonly linked: boolean;
  readonly taken: boolean;
  readonly setsOutFrom: Place | null;
};

export type Where =
  | { readonly kind: 'known'; readonly name: string; readonly town: string }
  | { readonly kind: 'vague'; readonly area: string; readonly km: number | null };

export type FirstScreen = {
  readonly symptom: string;
  readonly group: number | null;
  readonly where: Where;
  readonly safe: 'yes' | 'no' | 'not known';
  readonly dangers: readonly string[];
  readonly danger: DangerNow | null;
  readonly words: HandoffFacts['fault']['words'];
  readonly dueBy: Instant | null;
  readonly serving: { readonly kind: 'every group' | 'nothing' | 'not known' } | { readonly kind: 'some groups'; readonly left: number };
  readonly likely: LikelyCause | null;
  readonly bring: readonly PartCount[];
  readonly suits: readonly Span[];
  readonly answerBy: Instant | null;
};

export type Details = {
  readonly words: HandoffFacts['fault']['words'];
  readonly dueBy: Instant | null;
  readonly answers: HandoffFacts['fault']['answers'];
  readonly swapTests: HandoffFacts['fault']['swapTests'];
  readonly changedLately: readonly string[];
  readonly tried: readonly string[];
  /** Likeliest first. */
  readonly causes: readonly LikelyCause[];
  readonly machine: Omit<HandoffFacts['machine'], 'seals'>;
  readonly filterAgeDays: number | null;
  /** The group in question first. */
  readonly seals: readonly SealFacts[];
  readonly readings: HandoffFacts['readings'];
  readonly photos: HandoffFacts['photos'];
  readonly open: readonly Span[];
  readonly quiet: readonly Span[];
  readonly mayDecide: HandoffFacts['cafe']['mayDecide'];
  /** How the machine should stand when the technician comes; null: no cause says. */
  readonly leaveIt: 'hot' | 'cold' | 'off' | null;
};

export type Handoff = {
  readonly first: FirstScreen;
  readonly details: Details;
  readonly missing: readonly MissingFact[];
  /** Only for the technician who has taken it. */
  readonly visit: { readonly address: string | null; readonly door: string | null; readonly contact: HandoffFacts['cafe']['contact']; readonly place: Place | null } | null;
};

export const handoff = (facts: HandoffFacts, reader: Reader, now: Instant): Handoff => {
  const shown = reader.taken ? facts : withoutPrivate(facts, reader.linked);
  const { address, door, contact, place } = facts.cafe;
  return {
    first: firstScreen(shown, whereFor(facts, reader), now),
    details: detailsOf(shown, now),
    missing: missingFrom(facts),
    visit: reader.taken ? { address, door, contact, place } : null,
  };
};

const firstScreen = (facts: HandoffFacts, where: Where, now: Instant): FirstScreen => ({
  symptom: facts.fault.symptom,
  group: facts.fault.group,
  where,
  safe: safety(facts),
  dangers: facts.fault.dangers,
  danger: facts.fault.danger,
  words: facts.fault.words,
  dueBy: facts.fault.dueBy,
  serving: servingWith(facts.machine),
  likely: likeliestFirst(facts.fault.causes)[0] ?? null,
  bring: facts.bring,
  suits: tidy(facts.suits).filter((span) => span.end > now),
  answerBy: facts.answerBy,
});

const whereFor = ({ cafe }: HandoffFacts, reader: Reader): Where => {
  if (reader.taken || reader.linked) return { kind: 'known', name: cafe.name, town: cafe.town };
  const km = cafe.place === null || reader.setsOutFrom === null ? null : Math.max(1, Math.round(straightKm(reader.setsOutFrom, cafe.place)));
  return { kind: 'vague', area: cafe.area ?? cafe.town, km };
};

/** "Safe" is said only when every danger question has been answered. */
const safety = ({ fault }: HandoffFacts): FirstScreen['safe'] => {
  if (fault.dangers.length > 0) return 'no';
  return fault.openDangerQuestions > 0 ? 'not known' : 'yes';
};

const servingWith = ({ groups, groupsOut, now }: HandoffFacts['machine']): FirstScreen['serving'] => {
  if (now.off === true) return { kind: 'nothing' };
  if (groups === null) return { kind: 'not known' };
  const left = groups - new Set(groupsOut).size;
  if (left <= 0) return { kind: 'nothing' };
  return left === groups ? { kind: 'every group' } : { kind: 'some groups', left };
};

const likeliestFirst = (causes: readonly LikelyCause[]): readonly LikelyCause[] => causes.toSorted((a, b) => b.chance - a.chance);

const detailsOf = (facts: HandoffFacts, now: Instant): Details => {
  const { fault, cafe } = facts;
  const { seals, ...machine } = facts.machine;
  const fitted = machine.water?.filterFittedAt ?? null;
  return {
    words: fault.words,
    dueBy: fault.dueBy,
    answers: fault.answers,
    swapTests: fault.swapTests,
    changedLately: fault.changedLately,
    tried: fault.tried,
    causes: likeliestFirst(fault.causes),
    machine,
    filterAgeDays: fitted === null ? null : Math.floor((now - fitted) / days(1)),
    seals: seals.toSorted((a, b) => Number(b.group === fault.group) - Number(a.group === fault.group) || a.group - b.group),
    readings: facts.readings,
    photos: facts.photos,
    open: cafe.open,
    quiet: cafe.quiet,
    mayDecide: cafe.mayDecide,
    leaveIt: leaveIt(facts),
  };
};

/** Nothing dangerous is kept running for a visit; else as the likelier causes are worked on, chance by chance. */
const leaveIt = ({ fault }: HandoffFacts): Details['leaveIt'] => {
  if (fault.dangers.length > 0) return 'off';
  const chance = (worked: 'hot' | 'cold'): number => fault.causes.reduce((sum, one) => (one.worked === worked ? sum + one.chance : sum), 0);
  if (chance('hot') === 0 && chance('cold') === 0) return null;
  return chance('hot') > chance('cold') ? 'hot' : 'cold';
};

/** What a technician would telephone back about, the most pressing first. */
const missingFrom = ({ cafe, machine, fault, readings, photos }: HandoffFacts): readonly MissingFact[] => {
  const group = machine.seals.find((seal) => seal.group === fault.group);
  const service = fault.dueBy !== null;
  const lacks: readonly (readonly [boolean, MissingFact])[] = [
    [fault.openDangerQuestions > 0, 'danger questions'],
    [machine.now.off === null || (!machine.now.off && machine.now.hot === null), 'state now'],
    [fault.group === null && machine.groups !== 1 && fault.danger === null && !service, 'which group'],
    [machine.kind === null, 'machine kind'],
    [machine.power === null || machine.power.volts === null || machine.power.connection === null, 'power'],
    [machine.water === null || machine.water.feed === null, 'water'],
    [cafe.mayDecide === null, 'who may decide'],
    [machine.contract === null, 'contract'],
    [fault.changedLately.length === 0 && !service, 'what changed lately'],
    [fault.group !== null && (group?.sizeMm ?? null) === null, 'seal size'],
    [readings.gauges.length === 0 && readings.tenSeconds.length === 0, 'readings'],
    [machine.ageYears === null, 'age'],
    [!photos.some((photo) => photo.shows === 'plate'), 'photo of the plate'],
  ];
  return lacks.flatMap(([lacking, fact]) => (lacking ? [fact] : []));
};
