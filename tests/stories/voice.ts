import { isChoice, plain, type Message } from '../../src/chat/message.ts';

/** How the bot speaks, as far as a machine can hear it. */
export const VOICE = { lines: 4, width: 64, label: 20, inRow: 5 } as const;

/** What a message does against the voice; empty when all is well. */
export const voiceProblems = (message: Message, limits: { readonly width: number; readonly label: number } = VOICE): readonly string[] => {
  const lines = message.lines.map((line) => plain(line.text));
  const labels = (message.rows ?? []).flatMap((row) => (isChoice(row) ? [] : row.map((button) => button.label)));
  return [
    ...(lines.length > VOICE.lines ? [`${lines.length} lines`] : []),
    ...lines.filter((line) => line.length > limits.width).map((line) => `${line.length} characters: ${line}`),
    ...labels.filter((label) => label.length > limits.label).map((label) => `label of ${label.length}: ${label}`),
    ...(lines.some((line) => line.includes('!')) ? ['an exclamation mark'] : []),
    ...(new Set(lines).size < lines.length ? ['a line twice'] : []),
    ...(lines.filter((line) => line.trimEnd().endsWith('?')).length > 1 ? ['two questions at once'] : []),
    ...(lines.some((line) => line.trim() === '') ? ['an empty line'] : []),
  ];
};
