import type { MachineState } from './record-evidence.ts';

export type LookStep = 'state' | 'handle' | 'closes' | 'feel' | 'finger' | 'done';
export type LookPlace = { readonly step: LookStep; readonly group: number };

/** What the buttons of the drawing mean, in degrees right of straight as the person sees it; the text is what is stored. */
export const HANDLE_VALUES = { left: '-30', 'bit-left': '-15', straight: '0', 'bit-right': '15', right: '30', stop: 'stop', none: 'none' } as const;
export const CLOSES_VALUES = ['right', 'left', 'none'] as const;
export const FEEL_VALUES = ['soft', 'hard', 'cracked', 'none'] as const;
export const FINGER_VALUES = ['clean', 'black', 'none'] as const;

export type HandleWord = keyof typeof HANDLE_VALUES;

/** What is stored for a pressed answer; undefined for one this step does not have. */
export const valueOf = (step: LookStep, word: string): string | undefined => {
  switch (step) {
    case 'handle':
      return word in HANDLE_VALUES ? HANDLE_VALUES[word as HandleWord] : undefined;
    case 'closes':
      return (CLOSES_VALUES as readonly string[]).includes(word) ? word : undefined;
    case 'feel':
      return (FEEL_VALUES as readonly string[]).includes(word) ? word : undefined;
    case 'finger':
      return (FINGER_VALUES as readonly string[]).includes(word) ? word : undefined;
    case 'state':
      return word === 'cold' || word === 'hot' ? word : undefined;
    case 'done':
      return undefined;
  }
};

/** The word on the button for a stored value. */
export const wordOf = (what: string, value: string): string => (what === 'handle' ? (Object.entries(HANDLE_VALUES).find(([, stored]) => stored === value)?.[0] ?? 'none') : value);

const nextGroup = (group: number, groups: readonly number[]): LookPlace => {
  const next = groups.find((each) => each > group);
  return next === undefined ? { step: 'done', group } : { step: 'handle', group: next };
};

/** Where a look goes after an answer; on a hot machine no finger goes inside. `asksClosing`: the handle stands as it could not. */
export const afterStep = ({ step, group }: LookPlace, state: MachineState, groups: readonly number[], asksClosing = false): LookPlace => {
  switch (step) {
    case 'state':
      return { step: 'handle', group: groups[0] ?? 1 };
    case 'handle':
      if (asksClosing) return { step: 'closes', group };
      return state === 'cold' ? { step: 'feel', group } : nextGroup(group, groups);
    case 'closes':
      return state === 'cold' ? { step: 'feel', group } : nextGroup(group, groups);
    case 'feel':
      return { step: 'finger', group };
    case 'finger':
    case 'done':
      return nextGroup(group, groups);
  }
};
