import { cafeById, rolesIn } from '../cafe/records.ts';
import { rightsOf } from '../cafe/roles.ts';
import { WHICH_CAFE, type CommandRoute, type Here, type WordsRoute } from '../cafe/subject.ts';
import { message, type Message } from '../chat/message.ts';
import { read } from '../store/transact.ts';
import { money } from '../words/format.ts';
import type { AskNeeds } from './ask-needs.ts';
import { brierScore, saidAgainstFound } from './calibration.ts';
import { calibrationPicture } from './calibration-picture.ts';
import { casesOver, standingOf, type Standing } from './learned.ts';

const BINS = 5;
/** With fewer findings a curve would show nothing but chance. Judgement. */
const LEAST_FOR_CURVE = 5;
const ASKED = /\bhow (often|good|many times)\b.*\b(right|wrong)\b|\bwere you (right|wrong)\b|\byour record\b/i;

type Page = { readonly standing: Standing; readonly currency: string | null; readonly own: boolean };

/** "How often were you right?": what was said against what was found, in the café's own cases. */
export const createLearnedPage = ({ store, words, foundIn }: AskNeeds) => {
  const load = (here: Here, cafes: readonly string[]): Promise<Page | undefined> =>
    read(store, async (tx) => {
      const cafe = cafes[0] === undefined ? undefined : await cafeById(tx, cafes[0]);
      const rights = cafe && rightsOf(await rolesIn(tx, cafe, here.by));
      return cafe && rights?.has('see') ? { standing: standingOf(await casesOver(tx, cafe, foundIn, true)), currency: cafe.currency, own: rights.has('own') } : undefined;
    });

  const draw = (locale: string, { standing, currency, own }: Page): Message => {
    const say = words.in(locale);
    const { scored, right, judged, cost } = standing;
    if (judged === 0) return message([say('ask.record.none')]);
    const amount = (value: number): string => money(value, currency ?? '', locale);
    const lines = [
      say('ask.record.right', { right, judged }),
      ...(scored.length > 0 ? [say('ask.record.brier', { score: brierScore(scored).toFixed(2), cases: scored.length })] : []),
      ...(own && cost && currency !== null ? [say('ask.record.money', { advised: amount(cost.advised), cases: cost.cases }), say('ask.record.others', { call: amount(cost.alwaysCall), trying: amount(cost.alwaysTry) })] : []),
    ];
    const bins = saidAgainstFound(scored, BINS);
    const alt = bins.filter(({ cases }) => cases > 0).map((bin) => say('ask.record.bin', { said: Math.round(bin.said * 10), found: Math.round(bin.found * 10), cases: bin.cases })).join(' ');
    const pictures = scored.length < LEAST_FOR_CURVE ? [] : [{ name: 'said-and-found.png', alt, draw: async () => calibrationPicture(bins, say('ask.record.said'), say('ask.record.found')) }];
    return { ...message(lines), ...(pictures.length > 0 ? { pictures } : {}) };
  };

  const page = async (here: Here, cafes: readonly string[]): Promise<Message> => {
    const loaded = await load(here, cafes);
    return loaded ? draw(here.locale, loaded) : message([words.in(here.locale)('ask.no-cafe')]);
  };

  const command: CommandRoute = { name: 'verdicts', take: async (given) => (given.cafes.length > 1 ? WHICH_CAFE : { kind: 'private', message: await page(given, given.cafes) }) };
  const route: WordsRoute = { name: 'case.record', order: 35, take: async (said) => (said.addressed && ASKED.test(said.text) ? (said.cafes.length > 1 ? WHICH_CAFE : { kind: 'say', message: await page(said, said.cafes) }) : undefined) };
  return { command, words: route };
};
