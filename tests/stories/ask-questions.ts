import type { Stage } from './stage.ts';

/** Answers whatever is asked, the wished answers where they are offered and "Don't know" elsewhere, until a verdict stands there. */
export const answerAll = async (stage: Stage, who: string, wished: readonly string[], place = '#bar'): Promise<readonly string[]> => {
  const asked: string[] = [];
  for (let i = 0; i < 16; i++) {
    const open = (await stage.messages()).findLast((each) => each.place === place && each.buttons.length > 0 && (each.buttons.includes("Don't know") || each.buttons.includes('Why?')));
    if (!open || open.buttons.includes('Why?')) return asked;
    asked.push(open.lines.join(' '));
    await stage.person(who).presses(wished.find((label) => open.buttons.includes(label)) ?? "Don't know", open.lines.at(-1));
  }
  throw new Error(`no verdict after:\n${asked.join('\n')}`);
};

/** The same, but stops at the first question that has this button. */
export const answerUntil = async (stage: Stage, who: string, wished: readonly string[], button: string, place = '#bar'): Promise<void> => {
  for (let i = 0; i < 16; i++) {
    const open = (await stage.messages()).findLast((each) => each.place === place && each.buttons.length > 0 && each.buttons.includes("Don't know"));
    if (!open) throw new Error(`no question with "${button}"`);
    if (open.buttons.includes(button)) return;
    await stage.person(who).presses(wished.find((label) => open.buttons.includes(label)) ?? "Don't know", open.lines.at(-1));
  }
  throw new Error(`no question with "${button}"`);
};
