import type { Subject } from '../cafe/subject.ts';
import { correctRoutes } from './correct.ts';
import { pressRoutes } from './done-press.ts';
import { listTimes } from './done-time.ts';
import { wordRoutes } from './done-words.ts';
import { createEarly } from './early.ts';
import { ladder } from './ladder.ts';
import { createListDesk, type DoneNeeds } from './list-desk.ts';
import { notForUs } from './not-for-us.ts';
import { proofs } from './proof.ts';
import type { Files } from '../store/files.ts';
import { createSupplies } from './supplies.ts';
import { silenceNotice, silenceRoute } from './unanswered.ts';

/** Answering a list, in every way people do. */
export const createDone = (needs: DoneNeeds & { readonly files: Files }): Subject => {
  const desk = createListDesk(needs);
  const supplies = createSupplies(needs, desk);
  const times = listTimes(needs, desk);
  const early = createEarly(needs);
  const proposed = notForUs(needs, desk);
  const rungs = ladder(needs);
  const proof = proofs(needs, desk);
  return {
    presses: [...pressRoutes(needs, desk), ...supplies.presses, silenceRoute(needs), ...early.presses, ...correctRoutes(needs, desk), ...proposed.presses, ...rungs.presses, ...proof.presses],
    ...wordRoutes(needs, desk, supplies, early),
    timers: [...times.timers, ...supplies.timers, ...rungs.timers],
    notices: [...times.notices, ...supplies.notices, silenceNotice(needs), ...proposed.notices, ...rungs.notices, ...proof.notices],
  };
};
