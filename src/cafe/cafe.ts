import { askedPlainly } from './asked-plainly.ts';
import { cafeWords } from './cafe-words.ts';
import { helpCommand } from './help.ts';
import { holidayNotice, holidayRoutes, holidayTimer } from './holiday-ask.ts';
import { myDataCommand, myDataOpenRoute, myDataRoutes } from './my-data.ts';
import type { CafeNeeds } from './needs.ts';
import { moveHereRoute } from './move-here.ts';
import { nudgeTimer } from './nudge.ts';
import { beginning, cafeCommand, openRoutes } from './open.ts';
import { peopleRoutes } from './people-page.ts';
import { settingsRoutes } from './settings.ts';
import type { Subject } from './subject.ts';
import { answerRoutes } from './take-press.ts';
import { setUpDialogue } from './take-words.ts';
import { tellDialogue, tellRoutes, tellWords } from './tell.ts';
import { testNotice, testOverTimer, testRoute } from './test-message.ts';
import { questionNotice, weeklyTimer } from './weekly.ts';

/** The café itself: its set-up, what can be changed, its people, and what one can ask about oneself. */
export const createCafe = (needs: CafeNeeds): Subject => ({
  presses: [...openRoutes(needs), ...answerRoutes(needs), ...settingsRoutes(needs), ...peopleRoutes(needs), ...tellRoutes(needs), testRoute(needs), ...holidayRoutes(needs), moveHereRoute(needs), ...myDataRoutes(needs), myDataOpenRoute(needs)],
  words: [tellWords(needs), ...askedPlainly(needs), ...cafeWords(needs)],
  dialogues: [setUpDialogue(needs, beginning(needs)), tellDialogue(needs)],
  commands: [cafeCommand(needs), myDataCommand(needs), helpCommand(needs)],
  notices: [questionNotice(needs), testNotice(needs), holidayNotice(needs)],
  timers: [nudgeTimer(needs), weeklyTimer(needs), holidayTimer(needs), testOverTimer],
});
