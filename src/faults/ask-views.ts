import { button, line, message, type Button, type Choice, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import { inLines } from '../words/format.ts';
import { verdictMessage } from './ask-verdict-views.ts';
import { caseName, type CaseView, type Show } from './ask-view.ts';

const rowsOf = (buttons: readonly Button[], width: number): readonly (readonly Button[])[] =>
  buttons.length === 0 ? [] : [buttons.slice(0, width), ...rowsOf(buttons.slice(width), width)];

const steps = ({ say }: Show, view: CaseView): readonly Button[] => [
  button(say('faults.answer.dont-know'), press('case.unsure', view.id, view.question?.id ?? '')),
  ...(view.question?.show === true ? [button(say('ask.button.show'), press('case.show', view.id, view.question.id))] : []),
  ...(view.answered > 0 ? [button(say('ask.button.back'), press('case.back', view.id))] : []),
  ...(view.away ? [button(say('ask.button.bar'), press('case.bar', view.id))] : []),
  button(say('ask.button.leave'), press('case.leave', view.id)),
];

const askMessage = (show: Show, view: CaseView): Message => {
  const { say } = show;
  const { question } = view;
  if (!question) return message([say('ask.lost')]);
  const answers = question.answers.map((answer) => button(say(`faults.answer.${question.id}.${answer}`), press('case.answer', view.id, question.id, answer)));
  const got = view.askedBy === null ? say('ask.got', { what: caseName(show, view) }) : say('ask.bar.first', { name: view.askedBy, what: caseName(show, view) });
  const head = view.answered === 0 ? [line(got, 'quiet')] : [line(caseName(show, view), 'quiet')];
  const asked = inLines(say(`faults.question.${question.id}`)).map((text) => line(text, 'strong'));
  const why = inLines(say('ask.why', { why: say(`faults.question.${question.id}.why`) })).map((text) => line(text, 'quiet'));
  // What keeps people safe goes before why it is asked.
  const lines = view.hold ? [...head, line(say('ask.hold'), 'danger'), ...asked] : [...head, ...asked, ...why];
  return message(lines.slice(0, 4), ...rowsOf(answers, answers.length > 4 ? 3 : 2).slice(0, 4), steps(show, view));
};

const whichMessage = ({ say }: Show, view: CaseView): Message =>
  message(
    [line(say('ask.which'), 'strong')],
    ...rowsOf(view.nearest.slice(0, 3).map((symptom) => button(say(`faults.symptom.${symptom}.short`), press('case.symptom', view.id, symptom))), 2),
    [button(say('ask.button.none-of-these'), press('case.symptom', view.id, '-')), button(say('ask.button.leave'), press('case.leave', view.id))],
  );

const groupMessage = (show: Show, view: CaseView): Message => {
  const { say } = show;
  const groups = Array.from({ length: view.groups }, (_, i) => button(String(i + 1), press('case.group', view.id, String(i + 1))));
  return message([line(say('ask.got', { what: caseName(show, view) }), 'quiet'), line(say('ask.group'), 'strong')], groups, [button(say('ask.button.all-groups'), press('case.group', view.id, 'all')), button(say('faults.answer.dont-know'), press('case.group', view.id, '-')), button(say('ask.button.leave'), press('case.leave', view.id))]);
};

const whereMessage = (show: Show, view: CaseView): Message =>
  message([show.say('ask.got', { what: caseName(show, view) }), line(show.say('ask.where'), 'strong')], [button(show.say('ask.button.here'), press('case.here', view.id), 'main'), button(show.say('ask.button.bar'), press('case.bar', view.id))]);

/** The answers given, to change any one of them. */
const changeMessage = ({ say }: Show, view: CaseView): Message => {
  const options = view.given.slice(-24).map(({ at, question, answer }) => {
    const [asked = ''] = inLines(say(`faults.question.${question}`));
    return { value: String(at), label: answer === null ? say('faults.answer.dont-know') : say(`faults.answer.${question}.${answer}`), hint: asked };
  });
  const choice: Choice = { ask: say('ask.change.pick'), press: press('case.alter', view.id), from: options };
  return message([line(say('ask.change'), 'strong')], choice, [button(say('ask.button.back'), press('case.on', view.id))]);
};

/** The case in its present state. */
export const caseMessage = (show: Show, view: CaseView): Message => {
  const { say } = show;
  switch (view.step) {
    case 'where':
      return whereMessage(show, view);
    case 'which':
      return whichMessage(show, view);
    case 'group':
      return groupMessage(show, view);
    case 'ask':
      return view.waiting ? message([say('ask.asked-bar')], [button(say('ask.button.here'), press('case.here', view.id)), button(say('ask.button.leave'), press('case.leave', view.id))]) : askMessage(show, view);
    case 'verdict':
      return view.verdict ? verdictMessage(show, view, view.verdict) : message([say('ask.lost')]);
    case 'change':
      return changeMessage(show, view);
    case 'paused':
      return message([say('ask.paused', { what: caseName(show, view) })], [button(say('ask.button.carry-on'), press('case.on', view.id), 'main')]);
    default:
      if (view.symptom === null) return message([say('ask.closed.unnamed')]);
      return message([say(`ask.closed.${view.closed ?? 'left'}`, { what: caseName(show, view) })], [button(say('ask.button.again'), press('case.reopen', view.id))]);
  }
};
