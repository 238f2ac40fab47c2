import { count, seen, type Stage, type Where } from './stage.ts';

const TRUTH = ['Only drips', 'Every second', 'Over weeks', 'Still drips', 'As always', 'Nothing', 'Hot', 'Screen', 'No', 'Longer ago'];

/** From the complaint to the question that Ola is asked. */
export const untilAsked = async (stage: Stage): Promise<void> => {
  await stage.person('mia').says('right one keeps dripping even when nobody brews');
  for (let asked = 0; asked < 12 && (await count(stage, 'Book the technician')) === 0; asked++) {
    const open = (await stage.messages()).findLast(({ buttons }) => buttons.includes("Don't know"));
    await stage.person('mia').presses(TRUTH.find((label) => open?.buttons.includes(label)) ?? "Don't know");
  }
  await stage.person('mia').presses('Book technician');
};

/** Ola asks for a code, the technician writes it where they want to be written to, and says that the test arrived. */
export const linked = async (stage: Stage, key: string, name: string, where: Where): Promise<void> => {
  await stage.person('ola').commands('visits', 'direct');
  await stage.person('ola').presses(`Link ${name}`);
  const code = /this code: (\w+)/.exec((await seen(stage, 'this code')).lines.join('\n'))?.[1] ?? '';
  await stage.person(key).says(`link ${code}`, where);
  await stage.person(key).presses('I can read this');
};

/** Ben comes second in the order of call. */
export const secondTechnician = async (stage: Stage): Promise<void> => {
  await stage.person('ola').commands('visits', 'direct');
  await stage.person('ola').presses('Technicians');
  await stage.person('ola').presses('Add a technician');
  await stage.person('ola').fills('Ben', '555 0177');
  await linked(stage, 'ben', 'Ben', 'direct');
};
