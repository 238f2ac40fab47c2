import { message, type Message, type Picture } from '../chat/message.ts';
import type { Say } from '../words/catalogue.ts';
import { inLines } from '../words/format.ts';

/** A picture that helps with a question, drawn by a subject to the right; undefined where there is none. */
export type PictureFor = (question: string, say: Say) => Picture | undefined;

/** How to look, for whoever asks to be shown: two or three lines, and a picture where there is one. */
export const showMessage = (say: Say, question: string, picture: Picture | undefined): Message => ({
  ...message(inLines(say(`faults.show.${question}`))),
  ...(picture ? { pictures: [picture] } : {}),
});
