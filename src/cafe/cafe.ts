import type { CafeNeeds } from './needs.ts';
import { nudgeTimer } from './nudge.ts';
import { beginning, cafeCommand, openRoutes } from './open.ts';
import { settingsRoutes } from './settings.ts';
import type { Subject } from './subject.ts';
import { answerRoutes } from './take-press.ts';
import { setUpDialogue } from './take-words.ts';

/** The café itself: its set-up, what can be changed, its people, and what one can ask about oneself. */
export const createCafe = (needs: CafeNeeds): Subject => ({
  presses: [...openRoutes(needs), ...answerRoutes(needs), ...settingsRoutes(needs)],
  dialogues: [setUpDialogue(needs, beginning(needs))],
  commands: [cafeCommand(needs)],
  timers: [nudgeTimer(needs)],
});
