import type { Say } from '../words/catalogue.ts';
import type { Fact } from './facts.ts';
import { ONLY_ONE } from './languages.ts';

/** What an option says on its button. */
export const optionLabel = ({ key, readAs }: Fact, option: string, say: Say, locale: string): string => {
  if (key === 'language' || (key === 'second' && option !== ONLY_ONE)) return new Intl.DisplayNames(locale, { type: 'language' }).of(option) ?? option;
  if (key === 'emergency') return say('cafe.option.emergency', { number: option });
  if (readAs === 'currency' || readAs === 'groups') return option;
  if (readAs === 'number') return say('cafe.option.millimetres', { mm: Number(option) });
  if (key === 'cleaning') return say('cafe.option.cleaning', { minutes: Number(option) });
  return say(`cafe.option.${key}.${option}`);
};
