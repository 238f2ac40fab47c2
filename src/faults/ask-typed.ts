import type { DialogueKind } from '../cafe/subject.ts';
import { read } from '../store/transact.ts';
import type { Desk } from './ask-desk.ts';
import { caseById } from './records.ts';
import { matchAnswer } from './typed-answer.ts';

/** An answer typed instead of pressed. */
export const typedAnswers = ({ needs, questions, draw, change, giveAnswer, oneBack }: Desk): DialogueKind => ({
  kind: 'case',
  take: async (said, { ref }) => {
    const row = await read(needs.store, (tx) => caseById(tx, ref));
    const question = row?.question === null || row === undefined ? undefined : questions.get(row.question);
    if (!row || row.step !== 'ask' || !question) return undefined;
    const say = needs.words.in(said.locale);
    const answer = matchAnswer(said.text, question.answers.map(({ id }) => ({ id, label: say(`faults.answer.${question.id}.${id}`) })), say('faults.answer.dont-know'), say('ask.button.back'), say('ask.button.leave'));
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
