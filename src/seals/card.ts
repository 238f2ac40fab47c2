import type { Subject } from '../cafe/subject.ts';
import { createAgain } from './card-again.ts';
import { createAlarms } from './card-alarm.ts';
import { createDesk, type CardsNeeds } from './card-desk.ts';
import { createNewcomer } from './card-newcomer.ts';
import { createReading } from './card-read.ts';
import { createRunning } from './card-run.ts';
import { createStarting, type Starting } from './card-start.ts';
import { createForTechnician } from './card-technician.ts';

/** The conversation about job cards; `start` opens one, or posts what is in its way. Both work inside a transaction. */
export type Cards = Subject & Pick<Starting, 'start' | 'offers'>;

export const createCards = (needs: CardsNeeds): Cards => {
  const desk = createDesk(needs);
  const again = createAgain(desk);
  const running = createRunning(desk, again);
  const starting = createStarting(desk);
  const alarms = createAlarms(desk, running);
  const reading = createReading(desk);
  const newcomer = createNewcomer(desk);
  const technician = createForTechnician(desk, running);
  return {
    start: starting.start,
    offers: starting.offers,
    presses: [...starting.presses, ...running.presses, ...again.presses, ...reading.presses, ...newcomer.presses, ...technician.presses],
    words: reading.words,
    commands: reading.commands,
    notices: [...starting.notices, ...running.notices, ...again.notices, ...alarms.notices, ...newcomer.notices],
    timers: [...again.timers, ...alarms.timers, ...newcomer.timers],
  };
};
