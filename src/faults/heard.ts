import type { Catalogue } from './catalogue.ts';
import type { Told } from './find-told.ts';
import type { Model, Reading } from './model.ts';

/**
 * Facts told beside a complaint, as far as it asks for them at this machine. A danger is asked, never read out of a
 * sentence, so a question that could find one takes nothing from it. What was tried before asking did not help.
 */
export const heardReadings = ({ questions }: Pick<Catalogue, 'questions'>, model: Model, symptom: string, { answers, tried }: Told): readonly Reading[] => {
  const asked = new Set(model.symptoms.find(({ id }) => id === symptom)?.questions);
  const safe = (question: string): boolean => asked.has(question) && (questions.find(({ id }) => id === question)?.answers.every(({ danger }) => !danger) ?? false);
  const here = (question: string, answer: string): boolean => model.questions.some((each) => each.id === question && each.answers.some(({ id }) => id === answer));
  return [
    ...answers.filter(({ question, answer }) => safe(question) && here(question, answer)).map(({ question, answer }): Reading => ({ kind: 'answer', question, answer })),
    ...tried.filter((job) => model.jobs.some(({ id }) => id === job)).map((job): Reading => ({ kind: 'tried', job, result: 'same' })),
  ];
};
