import type { Seen, Stage } from '../stage.ts';

/** Tells a story as people see it: what somebody does, and what then stands new or changed before whom. */
export type Narrator = {
  readonly says: (who: string, words: string, where?: 'bar' | 'direct') => Promise<void>;
  readonly replies: (who: string, to: string, words: string) => Promise<void>;
  readonly presses: (who: string, label: string, on?: string) => Promise<void>;
  /** Presses the first button that one of these fits, the newest message first; true when there was one. */
  readonly pressesOne: (who: string, fits: readonly RegExp[]) => Promise<boolean>;
  readonly picks: (who: string, ...labels: readonly string[]) => Promise<void>;
  readonly fills: (who: string, ...answers: readonly string[]) => Promise<void>;
  readonly commands: (who: string, name: string) => Promise<void>;
  readonly ticks: (who: string, on: string) => Promise<void>;
  readonly until: (when: string) => Promise<void>;
  readonly newest: (fits: (seen: Seen) => boolean) => Promise<Seen | undefined>;
  readonly page: () => string;
};

const nameOf = (who: string): string => who.charAt(0).toUpperCase() + who.slice(1);
const same = (a: Seen, b: Seen | undefined): boolean => b !== undefined && JSON.stringify([a.lines, a.buttons, a.files]) === JSON.stringify([b.lines, b.buttons, b.files]);
/** Marks that the page's own language would take for its own. */
const plainly = (text: string): string => text.replace(/[\\`*_<>|#[\]]/g, '\\$&').replace(/^(\s*)([-+]|\d+\.)(?=\s)/, '$1\\$2');

const shown = (seen: Seen, changed: boolean): readonly string[] => [
  `> **${seen.place === '#bar' ? '\\#bar' : `to ${seen.place}`}**${seen.only === undefined ? '' : `, only ${seen.only} sees this`}${changed ? ', changed' : ''}  `,
  ...seen.lines.map((line) => `> ${plainly(line)}  `),
  ...seen.files.map((file) => `> *${plainly(file)}*  `),
  ...(seen.buttons.length > 0 ? [`> ${seen.buttons.map((label) => `\`${label}\``).join(' ')}`] : []),
  '',
];

export const narrate = (stage: Stage, title: string, about: string): Narrator => {
  const lines: string[] = [`# ${title}`, '', about, ''];
  let before = new Map<string, Seen>();

  const tell = async (what: string, work: () => Promise<void>): Promise<void> => {
    if (what !== '') lines.push(what, '');
    await work();
    const now = await stage.messages();
    for (const seen of now) if (!same(seen, before.get(seen.id))) lines.push(...shown(seen, before.has(seen.id)));
    before = new Map(now.map((seen) => [seen.id, seen]));
  };
  const act = (who: string, what: string, work: () => Promise<void>): Promise<void> => tell(`**${nameOf(who)}** ${what}`, work);
  const mine = (who: string, seen: Seen): boolean => (seen.only === undefined || seen.only === nameOf(who)) && (seen.place === '#bar' || seen.place === nameOf(who));

  return {
    says: (who, words, where) => act(who, `writes${where === 'direct' ? ' to the bot' : ''}: ${plainly(words)}`, () => stage.person(who).says(words, where)),
    replies: (who, to, words) => act(who, `answers “${plainly(to)}”: ${plainly(words)}`, () => stage.person(who).replies(to, words)),
    presses: (who, label, on) => act(who, `presses \`${label}\``, () => stage.person(who).presses(label, on)),
    pressesOne: async (who, fits) => {
      const all = [...(await stage.messages())].reverse().filter((seen) => mine(who, seen));
      for (const each of fits)
        for (const seen of all) {
          const label = seen.buttons.find((button) => each.test(button));
          if (label === undefined) continue;
          await act(who, `presses \`${label}\``, () => stage.person(who).presses(label, seen.lines[0]));
          return true;
        }
      return false;
    },
    picks: (who, ...labels) => act(who, `picks ${labels.map((label) => `\`${label}\``).join(', ')}`, () => stage.person(who).picks(...labels)),
    fills: (who, ...answers) => act(who, `fills in: ${answers.map((each) => (each === '' ? '–' : plainly(each))).join('; ')}`, () => stage.person(who).fills(...answers)),
    commands: (who, name) => act(who, `gives \`/${name}\``, () => stage.person(who).commands(name)),
    ticks: (who, on) => act(who, `marks “${plainly(on)}” with ✅`, () => stage.person(who).ticks(on)),
    until: (when) => tell(`*${when.replace('tomorrow', 'The next day,')}*`, () => stage.until(when)),
    newest: async (fits) => (await stage.messages()).findLast(fits),
    page: () => `${lines.join('\n').trimEnd()}\n`,
  };
};
