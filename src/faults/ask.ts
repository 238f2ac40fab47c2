import { createBeginning } from './ask-begin.ts';
import { createDesk } from './ask-desk.ts';
import { createEnding } from './ask-end.ts';
import { createFromCard } from './ask-from-card.ts';
import type { Ask, AskNeeds } from './ask-needs.ts';
import { createPresses } from './ask-presses.ts';
import { createReckoning } from './ask-reckon.ts';
import { createSeen } from './ask-seen.ts';
import { casePhotos } from './case-photos.ts';
import { createLearnedPage } from './learned-page.ts';
import { nothingOpen, onlyNeed, typedAnswers } from './ask-typed.ts';
import { caseById, changeCase, openCases, readingsOf, type Told } from './records.ts';

/** "Do we need someone?": from a sentence to a verdict, and what became of it. */
export const createAsk = (needs: AskNeeds): Ask => {
  const reckoning = createReckoning(needs);
  const desk = createDesk(needs, reckoning);
  const ending = createEnding(desk);
  const photos = casePhotos(needs);
  const page = createLearnedPage(needs);
  const { takeComplaint, openTaste, command, machineDialogue, machinePress } = createBeginning(desk, ending, reckoning);

  const tried: Ask['tried'] = async (tx, caseId, job, result, by, now) => {
    const row = await caseById(tx, caseId);
    if (!row || row.closed_at !== null) return;
    const reading: Told = { kind: 'tried', job, result, by: by.name, at: now };
    const readings = JSON.stringify([...readingsOf(row), reading]);
    const moved = result === 'cured' ? await ending.closing(tx, { ...row, readings }, now, 'fixed') : await reckoning.advance(tx, { ...row, readings }, now);
    await changeCase(tx, caseId, { readings, ...moved, updated_at: now });
    const after = await caseById(tx, caseId);
    if (after) await desk.refreshAt(tx, after, now);
  };

  const putAside: Ask['putAside'] = async (tx, cafe, machine, but, now) => {
    for (const row of await openCases(tx, cafe))
      if (row.machine === machine && row.id !== but && row.step !== 'verdict') await desk.changeIn(tx, row.id, now, undefined, async () => ({ step: 'paused', state: 'paused' }));
  };

  return {
    reckon: reckoning.reckon,
    openSeen: createSeen(needs.ids, reckoning),
    openTaste,
    fromCard: createFromCard(desk, reckoning, ending),
    tried,
    putAside,
    refresh: async (tx, caseId, now) => {
      const row = await caseById(tx, caseId);
      if (!row) return;
      if (row.state === 'booked') await ending.beginSecond(tx, row, now);
      await desk.refreshAt(tx, row, now);
    },
    presses: [...createPresses(desk, ending), machinePress],
    dialogues: [typedAnswers(desk), machineDialogue],
    words: [
      page.words,
      { name: 'case.sure', order: 40, take: photos.with(takeComplaint(true)) },
      { name: 'case.unsure', order: 70, take: photos.with(takeComplaint(false)) },
      photos.words,
      nothingOpen(needs),
      onlyNeed(needs),
    ],
    commands: [command, page.command],
    notices: [{ kind: 'case', show: ({ data, place }) => desk.draw((data as { case: string }).case, place) }, ...ending.notices],
    timers: ending.timers,
  };
};
