import { encodePress } from './press.ts';
import { isChoice, plain, type Button, type Choice, type Form, type Message } from './message.ts';

/** The narrowest of the chats' limits: a message that passes can be shown in every one of them. */
export const LIMITS = {
  text: 2000, rows: 5, buttonsInRow: 5, label: 80, options: 25, optionLabel: 100, optionHint: 100, ask: 150,
  files: 10, questions: 5, formTitle: 45, questionLabel: 45, questionHint: 100, answer: 4000,
} as const;

const check = (ok: boolean, problem: string): string[] => (ok ? [] : [problem]);

const buttonProblems = (each: Button): string[] => [
  ...check(each.label.length > 0 && each.label.length <= LIMITS.label, `label "${each.label}"`),
  ...('press' in each ? check(encodePress(each.press).length <= 100, `press of "${each.label}"`) : []),
];

const choiceProblems = (choice: Choice): string[] => [
  ...check(choice.ask.length <= LIMITS.ask, `ask "${choice.ask}"`),
  ...(typeof choice.from === 'string'
    ? []
    : [
        ...check(choice.from.length >= 1 && choice.from.length <= LIMITS.options, `${choice.from.length} options`),
        ...check(new Set(choice.from.map((option) => option.value)).size === choice.from.length, 'an option twice'),
        ...choice.from.flatMap((option) => [
          ...check(option.label.length > 0 && option.label.length <= LIMITS.optionLabel, `option "${option.label}"`),
          ...check(option.value.length <= 100 && (option.hint ?? '').length <= LIMITS.optionHint, `value or hint of "${option.label}"`),
        ]),
      ]),
];

/** The text as a chat shows it, line under line. */
export const shownText = (message: Message): string =>
  [...(message.title === undefined ? [] : [plain(message.title)]), ...message.lines.map((each) => plain(each.text))].join('\n');

/** What no chat could show about this message; empty when all is well. */
export const problemsOf = (message: Message): readonly string[] => {
  const rows = message.rows ?? [];
  const presses = rows.flatMap((row) => (isChoice(row) ? [encodePress(row.press)] : row.flatMap((each) => ('press' in each ? [encodePress(each.press)] : []))));
  return [
    ...check(shownText(message).trim().length > 0, 'nothing to show'),
    ...check(Array.from(shownText(message)).length <= LIMITS.text, 'too long'),
    ...check(rows.length <= LIMITS.rows, `${rows.length} rows`),
    ...check(rows.every((row) => isChoice(row) || (row.length >= 1 && row.length <= LIMITS.buttonsInRow)), 'a row too long or empty'),
    ...check(new Set(presses).size === presses.length, 'the same press twice'),
    ...check((message.files?.length ?? 0) + (message.pictures?.length ?? 0) <= LIMITS.files, 'too many files'),
    ...rows.flatMap((row) => (isChoice(row) ? choiceProblems(row) : row.flatMap(buttonProblems))),
  ];
};

export const formProblems = (form: Form): readonly string[] => [
  ...check(form.title.length > 0 && form.title.length <= LIMITS.formTitle, `form title "${form.title}"`),
  ...check(form.questions.length <= LIMITS.questions, `${form.questions.length} questions in a form`),
  ...form.questions.flatMap((question) => [
    ...check(question.label.length <= LIMITS.questionLabel, `question "${question.label}"`),
    ...check((question.hint ?? '').length <= LIMITS.questionHint, `hint of "${question.label}"`),
  ]),
];

/** The message itself; throws RangeError when some chat could not show it. */
export const fitting = (message: Message): Message => {
  const problems = problemsOf(message);
  if (problems.length > 0) throw new RangeError(`a message no chat can show: ${problems.join('; ')}`);
  return message;
};
