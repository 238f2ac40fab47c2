/** The bar's channel, a person's direct messages with the bot, or a channel in a server of a technicians' firm. */
export type Where = 'bar' | 'direct' | 'workshop';

/** A message as a person sees it. */
export type Seen = {
  readonly id: string;
  /** `#bar`, or the name of the person whose direct messages it stands in. */
  readonly place: string;
  /** Set when only this person sees it. */
  readonly only?: string;
  readonly lines: readonly string[];
  readonly buttons: readonly string[];
  readonly files: readonly string[];
};

export type Actor = {
  readonly says: (text: string, where?: Where) => Promise<void>;
  /** Answers the newest message that holds this text. */
  readonly replies: (to: string, text: string) => Promise<void>;
  /** Presses a button by its label, on the newest message that has it (and holds `on`, where given). */
  readonly presses: (label: string, on?: string) => Promise<void>;
  /** Picks from a list by the labels of its entries. */
  readonly picks: (...labels: readonly string[]) => Promise<void>;
  /** Fills the form that a press has just opened, field by field; an empty text skips one. */
  readonly fills: (...answers: readonly string[]) => Promise<void>;
  readonly commands: (name: string, where?: Where) => Promise<void>;
  /** Marks the newest message that holds this text with a tick, or takes the mark away. */
  readonly ticks: (on: string, given?: boolean) => Promise<void>;
};

/**
 * A café's people and their chat, the same for every chat the bot speaks through: a story written for one runs on all.
 * People: ola (owner), mia, sam, lina, pablo (bar), ana (technician), ben (technician the café has not linked). Channels: #bar,
 * and #workshop in a server of Ana's firm.
 */
export type Stage = {
  readonly name: string;
  readonly person: (key: string) => Actor;
  /** Lets time pass until the café's clock shows this: `22:00`, `tomorrow 07:30`, `30m`. */
  readonly until: (when: string) => Promise<void>;
  /** Everything now visible, in the order it was first shown, in its present state. */
  readonly messages: () => Promise<readonly Seen[]>;
  /** This person's direct messages are closed to the bot. */
  readonly shut: (key: string) => Promise<void>;
  /** Ends the bot and starts it again on the same data. */
  readonly restart: () => Promise<void>;
  readonly close: () => Promise<void>;
};

/** The newest message that holds the text; fails with everything shown when there is none. */
export const seen = async (stage: Stage, text: string, place?: string): Promise<Seen> => {
  const all = await stage.messages();
  const found = all.findLast((each) => each.lines.join('\n').includes(text) && (place === undefined || each.place === place));
  if (!found) throw new Error(`nobody sees "${text}"${place === undefined ? '' : ` in ${place}`}. Seen:\n${transcript(all)}`);
  return found;
};

export const count = async (stage: Stage, text: string): Promise<number> => (await stage.messages()).filter((each) => each.lines.join('\n').includes(text)).length;

export const transcript = (all: readonly Seen[]): string =>
  all.map((each) => [`-- ${each.place}${each.only === undefined ? '' : `, only ${each.only}`}`, ...each.lines.map((line) => `   ${line}`), ...(each.buttons.length > 0 ? [`   [${each.buttons.join('] [')}]`] : []), ...each.files.map((file) => `   <${file}>`)].join('\n')).join('\n');
