import type { Attachment } from '../chat/incoming.ts';
import type { Form, Question } from '../chat/message.ts';
import type { Scenario } from './scenario.ts';

export type FormAnswer =
  | { readonly kind: 'next' }
  | { readonly kind: 'again'; readonly problem: string }
  | { readonly kind: 'left' }
  | { readonly kind: 'complete'; readonly answers: Readonly<Record<string, readonly string[]>>; readonly attachments: readonly Attachment[] };

export type FormInHand = {
  /** The question now being asked, as lines. */
  readonly lines: () => readonly string[];
  readonly answer: (typed: string, photo: (path: string) => Attachment | undefined) => FormAnswer;
};

const optionsOf = (question: Question, scenario: Scenario): readonly { value: string; label: string }[] => {
  if (question.answer.kind !== 'pick') return [];
  const { from } = question.answer;
  if (typeof from !== 'string') return from;
  if (from === 'people') return Object.entries(scenario.people).map(([value, { name }]) => ({ value, label: name }));
  return from === 'roles' ? Object.entries(scenario.roles).map(([value, label]) => ({ value, label })) : Object.entries(scenario.channels).map(([value, { name }]) => ({ value: `c.${value}`, label: `#${name}` }));
};

/** A form in a terminal: its questions one by one, the present value shown, "leave" to go. */
export const askForm = (form: Form, scenario: Scenario): FormInHand => {
  const answers: Record<string, readonly string[]> = {};
  const attachments: Attachment[] = [];
  let at = 0;
  const current = (): Question => form.questions[at] ?? form.questions[0];

  const parsed = (question: Question, typed: string, photo: (path: string) => Attachment | undefined): readonly string[] | string => {
    const now = question.answer.kind === 'words' ? question.answer.now : undefined;
    if (typed === '' && now !== undefined) return [now];
    if (typed === '') return question.optional ? [] : 'This one needs an answer. Type "leave" to leave the form.';
    if (question.answer.kind === 'words') return typed.length <= question.answer.most ? [typed] : `At most ${question.answer.most} characters, please.`;
    if (question.answer.kind === 'photos') {
      const found = photo(typed.replace(/^photo /, ''));
      if (!found) return 'I cannot read that photo. It takes png, jpg or webp up to 10 MB.';
      attachments.push(found);
      return [found.name];
    }
    const options = optionsOf(question, scenario);
    const picked = typed.split(/[ ,]+/).map((each) => options[Number(each) - 1]?.value);
    return picked.every((each) => each !== undefined) ? (picked as string[]) : `Choose from 1 to ${options.length}.`;
  };

  return {
    lines: () => {
      const question = current();
      const now = question.answer.kind === 'words' && question.answer.now ? ` [${question.answer.now}]` : '';
      const hint = question.hint === undefined ? '' : ` (${question.hint})`;
      return [`   ${form.title}: ${question.label}${hint}${now}${question.optional ? ', Enter to skip' : ''}`, ...optionsOf(question, scenario).map(({ label }, i) => `   (${i + 1}) ${label}`)];
    },
    answer: (typed, photo) => {
      if (typed.toLowerCase() === 'leave') return { kind: 'left' };
      const question = current();
      const result = parsed(question, typed, photo);
      if (typeof result === 'string') return { kind: 'again', problem: result };
      answers[question.key] = result;
      at++;
      return at < form.questions.length ? { kind: 'next' } : { kind: 'complete', answers, attachments };
    },
  };
};
