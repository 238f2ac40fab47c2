import type { Catalogue } from './catalogue.ts';
import type { Told } from './find-told.ts';
import type { Model, Reading } from './model.ts';

/**
 * Facts told beside a complaint, as far as it asks for them at this machine. A danger is asked, never read out of a
 * sentence: no danger question takes its answer from one, and no answer that is a danger is taken. What was tried before
 * asking did not help.
 */
export const heardReadings = ({ questions }: Pick<Catalogue, 'questions'>, model: Model, symptom: string, { answers, tried }: Told): readonly Reading[] => {
  const asked = new Set(model.symptoms.find(({ id }) => id === symptom)?.questions);
  const safe = (question: string, answer: string): boolean => questions.some(({ id, answers: all }) => id === question && all.some((each) => each.id === answer && !each.danger));
  const here = (question: string, answer: string): boolean => model.questions.some(({ id, danger, answers: all }) => id === question && !danger && all.some((each) => each.id === answer));
  return [
    ...answers.filter(({ question, answer }) => asked.has(question) && safe(question, answer) && here(question, answer)).map(({ question, answer }): Reading => ({ kind: 'answer', question, answer })),
    ...tried.filter((job) => model.jobs.some(({ id }) => id === job)).map((job): Reading => ({ kind: 'tried', job, result: 'same' })),
  ];
};
