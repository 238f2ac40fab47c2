import { DiscordAPIError } from 'discord.js';

/** Why the bot cannot go on: what a person reads, and the code the process ends with. */
export type Ending = { readonly code: number; readonly text: string };

/** Only a person can mend it: starting again changes nothing. The number of a configuration error in sysexits. */
export const NEEDS_PERSON = 78;
/** It may well work again: start the bot anew. The number of a passing failure in sysexits. */
export const TRY_AGAIN = 75;

const PORTAL = 'the developer portal, your application, Bot';

export const ENDINGS = {
  token: { code: NEEDS_PERSON, text: `The platform refuses the token. Make a new one (${PORTAL}, Reset Token), put it into DISCORD_TOKEN and start again. Nothing was lost.` },
  intents: { code: TRY_AGAIN, text: `The platform no longer allows what was asked for at login. Check "Message Content Intent" (${PORTAL}) and start again: without it the bot reads what is addressed to it. Nothing was lost.` },
  unfit: { code: NEEDS_PERSON, text: 'The platform does not accept this version of the bot any more. Take a newer one. Nothing was lost.' },
  crowded: { code: NEEDS_PERSON, text: 'This bot is in more servers than one process may serve. Remove it from some. Nothing was lost.' },
  deaf: { code: TRY_AGAIN, text: 'The connection to the platform has been dead for minutes. Ending, to be started anew. Nothing was lost.' },
} as const satisfies Readonly<Record<string, Ending>>;

/** Close codes after which the platform lets no session come back, from its list of gateway close codes. */
const CLOSED: Readonly<Record<number, Ending>> = {
  4004: ENDINGS.token, 4010: ENDINGS.unfit, 4011: ENDINGS.crowded, 4012: ENDINGS.unfit, 4013: ENDINGS.unfit, 4014: ENDINGS.intents,
};

export const endingOfClose = (code: number): Ending | undefined => CLOSED[code];

/** Does this error of a request or a login mean that trying again is of no use? */
export const endingOfError = (error: unknown): Ending | undefined => {
  if (error instanceof DiscordAPIError) return error.status === 401 ? ENDINGS.token : undefined;
  const { code, message } = (error ?? {}) as { readonly code?: unknown; readonly message?: unknown };
  if (code === 'TokenInvalid') return ENDINGS.token;
  return /disallowed intents/i.test(String(message)) ? ENDINGS.intents : undefined;
};
