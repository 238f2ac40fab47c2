import { button, message, type Message } from '../chat/message.ts';
import { press } from '../chat/press.ts';
import type { Say } from '../words/catalogue.ts';
import { shortened } from '../words/format.ts';
import type { Cafe } from './records.ts';

const languageName = (language: string, locale: string): string => new Intl.DisplayNames(locale, { type: 'language' }).of(language) ?? language;

/** The first words of the set-up, in the language it would be in. */
export const welcomeView = (language: string, languages: readonly string[], hasCafes: boolean, say: Say): Message =>
  message(
    [say('cafe.welcome'), say('cafe.welcome.language', { language: languageName(language, language) })],
    [
      button(say('cafe.button.begin'), press('cafe.begin', language), 'main'),
      ...(languages.length > 1 ? [button(say('cafe.button.otherLanguage'), press('cafe.language', language))] : []),
      ...(hasCafes ? [button(say('cafe.button.myCafes'), press('cafe.mine'))] : []),
    ],
  );

export const languageView = (languages: readonly string[], say: Say): Message =>
  message([say('cafe.ask.language')], { ask: say('cafe.pick.language'), press: press('cafe.welcome'), from: languages.slice(0, 25).map((each) => ({ value: each, label: languageName(each, each) })) });

/** Which of several cafés is meant. */
export const whichView = (cafes: readonly Cafe[], say: Say): Message =>
  message([say('cafe.ask.which')], { ask: say('cafe.pick.which'), press: press('cafe.which'), from: cafes.slice(0, 25).map(({ id, name, town }) => ({ value: id, label: shortened(name, 60), ...(town === '' ? {} : { hint: town }) })) });

/** A café nobody owns any more, shown to whoever manages its server. */
export const claimView = (cafe: Cafe, say: Say): Message =>
  message([say('cafe.claim', { name: shortened(cafe.name, 24) }), say('cafe.claim.ask')], [button(say('cafe.button.claim'), press('cafe.claim', cafe.id), 'main'), button(say('cafe.button.leave'), press('cafe.dismiss'))]);
