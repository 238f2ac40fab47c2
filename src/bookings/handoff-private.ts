import type { HandoffFacts } from './handoff-facts.ts';

/** Before it is taken nobody learns where to go, not even from what someone at the bar typed. */
export const withoutPrivate = (facts: HandoffFacts, linked: boolean): HandoffFacts => {
  const { cafe, fault } = facts;
  const secrets = [cafe.address, cafe.door, cafe.contact?.telephone, cafe.contact?.name, linked ? null : cafe.name].filter(
    (secret): secret is string => typeof secret === 'string' && secret.trim() !== '',
  );
  const patterns = secrets.map(patternOf);
  const hide = (text: string): string => patterns.reduce(hidden, text);
  return {
    ...facts,
    cafe: {
      ...cafe,
      mayDecide: cafe.mayDecide === null ? null : { ...cafe.mayDecide, who: hide(cafe.mayDecide.who) },
    },
    fault: {
      ...fault,
      words: fault.words === null ? null : { text: hide(fault.words.text), by: hide(fault.words.by) },
      answers: fault.answers.map(({ question, answer }) => ({ question: hide(question), answer: hide(answer) })),
      swapTests: fault.swapTests.map(({ test, result }) => ({ test: hide(test), result: hide(result) })),
      changedLately: fault.changedLately.map(hide),
      tried: fault.tried.map(hide),
    },
  };
};

/** Stands for what is not told before the visit is taken. */
export const HIDDEN = '…';

const letter = /[\p{L}\p{N}]/u;

/** Whole words only: "cola" does not give away Ola. */
const hidden = (text: string, secret: RegExp): string =>
  text.replace(secret, (match: string, at: number) => {
    const inWord = letter.test(text.charAt(at - 1)) || letter.test(text.charAt(at + match.length));
    return inWord ? match : HIDDEN;
  });

/** Whatever the spacing; a telephone number also with other gaps between its digits. */
const patternOf = (secret: string): RegExp => {
  const digits = secret.replace(/[\s().+/-]/g, '');
  const telephone = digits.length >= 5 && /^\d+$/.test(digits);
  const pattern = telephone ? digits.split('').join('[\\s().+/-]*') : secret.trim().split(/\s+/).map(literal).join('\\s*');
  return new RegExp(pattern, 'giu');
};

const literal = (word: string): string => word.replace(/[.*+?^${}()|[\]\\/]/g, '\\$&');
