import type { DialogueKind, WordsRoute } from '../cafe/subject.ts';
import { message } from '../chat/message.ts';
import { read } from '../store/transact.ts';
import type { Desk } from './ask-desk.ts';
import type { AskNeeds } from './ask-needs.ts';
import { caseById } from './records.ts';
import { asksNeed, isLeaving, matchAnswer, usualIn } from './typed-answer.ts';

/** An answer typed instead of pressed. */
export const typedAnswers = ({ needs, questions, sayFor, draw, change, giveAnswer, oneBack }: Desk): DialogueKind => ({
  kind: 'case',
  take: async (said, { ref }) => {
    const row = await read(needs.store, (tx) => caseById(tx, ref));
    const question = row?.question === null || row === undefined ? undefined : questions.get(row.question);
    if (!row || row.step !== 'ask' || !question) return undefined;
    const say = await read(needs.store, (tx) => sayFor(tx, row, said.locale));
    const answer = matchAnswer(said.text, question.answers.map(({ id }) => ({ id, label: say(`faults.answer.${question.id}.${id}`) })), usualIn(say));
    if (answer.kind === 'none') return undefined;
    if (answer.kind === 'back') await change(ref, said.now, undefined, async (_tx, at) => oneBack(at));
    else if (answer.kind === 'leave') await change(ref, said.now, undefined, async () => ({ step: 'paused', state: 'paused' }));
    else await giveAnswer(said, ref, question.id, answer.kind === 'answer' ? answer.id : undefined);
    return { kind: 'noted' };
  },
  again: async ({ ref }, here) => {
    const row = await read(needs.store, (tx) => caseById(tx, ref));
    return row && row.closed_at === null && row.step !== 'paused' && row.step !== 'verdict' ? draw(ref, here.at, here.locale) : undefined;
  },
});

/** "Leave it" and "back" where no question is open: said so, rather than not understood. */
export const nothingOpen = ({ words }: AskNeeds): WordsRoute => ({
  name: 'case.left',
  order: 90,
  take: async (said) => {
    const say = words.in(said.locale);
    return said.addressed && isLeaving(said.text, usualIn(say)) ? { kind: 'say', message: message([say('ask.nothing-open')]) } : undefined;
  },
});

/** "Do we need someone?" and nothing else: a question that is open comes again behind it. */
export const onlyNeed = ({ words }: AskNeeds): WordsRoute => ({
  name: 'case.need',
  order: 39,
  take: async (said) => {
    const say = words.in(said.locale);
    return !said.reply && asksNeed(said.text, say) ? { kind: 'say', message: message([say('ask.need')]) } : undefined;
  },
});
