import type { Cafe } from './records.ts';

/** The answer "only one" to which language stands beside the first. */
export const ONLY_ONE = 'none';

/** The language that stands beside the café's own in its channel; undefined where one is enough. */
export const secondLanguage = ({ language, second_language: second }: Pick<Cafe, 'language' | 'second_language'>): string | undefined =>
  second === null || second === ONLY_ONE || second === language ? undefined : second;
