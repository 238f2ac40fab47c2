import { plain, type Language } from './find-language.ts';

/**
 * Whether a sentence only tells of something ordinary that was done ("turned it off, going home") or asks something
 * plainly ("can I turn it off at night?"). Words that tell of trouble only beside others ("off", "hot", "not") do not
 * make a plain question a complaint; any other word of trouble does. Dangers are looked for before, and by words of their own.
 */
export const talkIn = ({ talk, complaint }: Pick<Language, 'talk' | 'complaint'>): ((text: string) => 'act' | 'question' | undefined) => {
  const isTrouble = (text: string): boolean => {
    const left = text.replace(new RegExp(talk.weak.source, 'giu'), ' ');
    return complaint.troubles.some((each) => each.test(left));
  };
  return (text) => {
    const said = plain(text).replace(/[.!?,;]+/gu, ' ').replace(/\s+/gu, ' ').trim();
    if (talk.acts.some((act) => act.test(said))) return 'act';
    return talk.questions.some((question) => question.test(said)) && !isTrouble(said) ? 'question' : undefined;
  };
};
