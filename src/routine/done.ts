import type { Subject } from '../cafe/subject.ts';
import { pressRoutes } from './done-press.ts';
import { listTimes } from './done-time.ts';
import { wordRoutes } from './done-words.ts';
import { createListDesk, type DoneNeeds } from './list-desk.ts';

/** Answering a list, in every way people do. */
export const createDone = (needs: DoneNeeds): Subject => {
  const desk = createListDesk(needs);
  return { presses: pressRoutes(needs, desk), ...wordRoutes(needs, desk), ...listTimes(needs, desk) };
};
