import type { Subject } from '../cafe/subject.ts';
import { pressRoutes } from './done-press.ts';
import { listTimes } from './done-time.ts';
import { wordRoutes } from './done-words.ts';
import { createListDesk, type DoneNeeds } from './list-desk.ts';
import { createSupplies } from './supplies.ts';
import { silenceNotice, silenceRoute } from './unanswered.ts';

/** Answering a list, in every way people do. */
export const createDone = (needs: DoneNeeds): Subject => {
  const desk = createListDesk(needs);
  const supplies = createSupplies(needs, desk);
  const times = listTimes(needs, desk);
  return { presses: [...pressRoutes(needs, desk), ...supplies.presses, silenceRoute(needs)], ...wordRoutes(needs, desk, supplies), timers: [...times.timers, ...supplies.timers], notices: [...times.notices, ...supplies.notices, silenceNotice(needs)] };
};
