import type { Narrator } from './narrator.ts';

export type Told = { readonly name: string; readonly title: string; readonly about: string; readonly empty?: true; readonly start?: string; readonly tell: (narrator: Narrator) => Promise<void> };

const setUp: Told = {
  name: 'set-up', title: 'The first set-up', about: 'Ola owns a café and has just let the bot into its server. She sets it up in the channel of the bar.', empty: true,
  tell: async (story) => {
    await story.commands('ola', 'cafe');
    await story.presses('ola', 'Start');
    await story.fills('ola', 'Lantern Street', 'Valencia');
    await story.presses('ola', 'Yes', 'there now?');
    await story.presses('ola', 'Write hours');
    await story.fills('ola', 'tue-sun 8-22:30');
    await story.presses('ola', "That's it");
    await story.presses('ola', '2', 'how many groups?');
    await story.presses('ola', 'No lever');
    await story.presses('ola', 'Yes', 'water spit');
    await story.picks('ola', 'role "bar"');
    await story.presses('ola', 'Write it', 'what switches the machine off?');
    await story.fills('ola', 'black switch under the till');
    await story.presses('ola', '112 is right');
    await story.presses('ola', 'Not yet', 'Your technician');
    await story.presses('ola', 'Start tonight');
    await story.presses('ola', 'Yes, call us');
    await story.until('22:00');
  },
};

const closing: Told = {
  name: 'closing', title: 'Closing, a tired evening', about: 'The list comes at ten. Half an hour later Sam types one word.',
  tell: async (story) => {
    await story.until('22:00');
    await story.until('22:31');
    await story.replies('sam', 'Closing', 'done');
    await story.presses('sam', 'Not started', 'Thanks, Sam');
    await story.until('tomorrow 7:30');
    await story.presses('mia', 'Done: all', 'Opening');
    await story.until('22:00');
    await story.presses('mia', "Can't", 'Closing');
    await story.presses('mia', 'No supplies');
    await story.ticks('lina', 'Closing');
  },
};

/** Answers to whatever the questions about a leak may be, the first that fits; the last resort is not to know. */
const DRIPS: readonly RegExp[] = [/^Only drips$/, /^No change$/, /^About 6:00$/, /^Still here$/, /^Dry$/, /^No$/, /^Don't know$/];
const VALVE: readonly RegExp[] = [/^Only drips$/, /^Every second$/, /^Over weeks$/, /^Still drips$/, /^As always$/, /^Nothing$/, /^Hot$/, /^Screen(?:, top)?$/, /^No$/, /^Longer ago$/, /^Don't know$/];
const VERDICT = /^(?:Start the card|Book technician|Book)/;

/** Goes on answering until there is a verdict; throws when the questions do not come to an end. */
const answerAll = async (story: Narrator, who: string, answers: readonly RegExp[]): Promise<void> => {
  for (let asked = 0; asked < 15; asked++) {
    if (await story.newest((seen) => seen.buttons.some((label) => VERDICT.test(label)))) return;
    if (!(await story.pressesOne(who, answers))) throw new Error('a question nobody can answer');
  }
  throw new Error('the questions did not come to an end');
};

const leak: Told = {
  name: 'leak', title: 'A leak before the rush', about: 'A handle drips in the morning. Lina asks whether they need someone.', start: '2027-03-09T20:58:30Z',
  tell: async (story) => {
    await story.until('tomorrow 8:40');
    await story.says('lina', 'the left group drips round the handle when we brew');
    await answerAll(story, 'lina', DRIPS);
    await story.pressesOne('lina', [/^Why\?$/]);
    await story.pressesOne('lina', [/^Fixed$/]);
  },
};

const booking: Told = {
  name: 'booking', title: 'A drip that ends in a visit', about: 'A group drips though nobody brews. Mia asks, Ola books, Ana takes the job and closes it.', start: '2027-03-09T09:05:00Z',
  tell: async (story) => {
    const must = async (who: string, ...fits: readonly RegExp[]): Promise<void> => {
      if (!(await story.pressesOne(who, fits))) throw new Error(`${who} has nothing like ${fits.join(' or ')}`);
    };
    await story.says('mia', 'right one keeps dripping even when nobody brews');
    await answerAll(story, 'mia', VALVE);
    await must('mia', /^Book technician$/);
    await must('ola', /^Either$/);
    await must('ana', /^Details$/);
    await must('ana', /^Take /);
    await must('ana', /^On my way$/);
    await must('ana', /^I'm here$/);
    await must('ana', /^Finished$/);
    await must('ana', /^Something else$/);
    await story.fills('ana', 'dirt in the valve');
  },
};

export const stories: readonly Told[] = [setUp, closing, leak, booking];
