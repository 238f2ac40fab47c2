import type { Catalogue } from './catalogue.ts';
import type { Model } from './model.ts';
import type { Told } from './records.ts';

/** An answer that stands on record, and when it was seen or noted, epoch ms. */
export type KnownAnswer = { readonly question: string; readonly answer: string; readonly at: number };

const isDanger = ({ questions }: Pick<Catalogue, 'questions'>, { question, answer }: KnownAnswer): boolean =>
  questions.find(({ id }) => id === question)?.answers.find(({ id }) => id === answer)?.danger !== undefined;

/**
 * A case's readings with what the record says now, in place of what it said when last asked. What a person has answered
 * in this case stands above it. A danger is never taken from the record: it is asked.
 */
export const withKnown = (catalogue: Pick<Catalogue, 'questions'>, model: Model, symptom: string, readings: readonly Told[], known: readonly KnownAnswer[]): readonly Told[] => {
  const given = readings.filter(({ seen }) => seen === undefined);
  const settled = new Set(given.flatMap((it) => (it.kind === 'answer' || it.kind === 'unsure' ? [it.question] : [])));
  const asked = new Set(model.symptoms.find(({ id }) => id === symptom)?.questions);
  const fits = (it: KnownAnswer): boolean =>
    asked.has(it.question) && !settled.has(it.question) && !isDanger(catalogue, it) && model.questions.some(({ id, danger, answers }) => id === it.question && !danger && answers.some((answer) => answer.id === it.answer));
  return [...given, ...known.filter(fits).map(({ question, answer, at }): Told => ({ kind: 'answer', question, answer, by: '', at, seen: at }))];
};
