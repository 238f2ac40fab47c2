export type FormError = { readonly path: string; readonly message: string };

/** An answer of the platform that is not "done": status, its own code, and the fields at fault. */
export class Refusal extends Error {
  readonly status: number;
  readonly code: number;
  readonly form: readonly FormError[];
  constructor(status: number, code: number, message: string, form: readonly FormError[] = []) {
    super(message);
    this.status = status;
    this.code = code;
    this.form = form;
  }
}

type Nest = { [key: string]: Nest | { code: string; message: string }[] };

/** The platform nests form errors by path: `embeds.0.title` becomes three levels. */
function nested(form: readonly FormError[]): Nest {
  const top: Nest = {};
  for (const { path, message } of form) {
    let here = top;
    for (const step of path.split('.')) here = (here[step] ??= {}) as Nest;
    const list = (here['_errors'] ??= []);
    if (Array.isArray(list)) list.push({ code: 'DOUBLE_FORM', message });
  }
  return top;
}

export const refusalBody = (refusal: Refusal): object => ({
  message: refusal.message,
  code: refusal.code,
  ...(refusal.form.length > 0 ? { errors: nested(refusal.form) } : {}),
});

/** Codes and texts from the platform's list of JSON error codes. */
export const refusals = {
  unknownChannel: () => new Refusal(404, 10003, 'Unknown Channel'),
  unknownGuild: () => new Refusal(404, 10004, 'Unknown Guild'),
  unknownMember: () => new Refusal(404, 10007, 'Unknown Member'),
  unknownMessage: () => new Refusal(404, 10008, 'Unknown Message'),
  unknownUser: () => new Refusal(404, 10013, 'Unknown User'),
  unknownWebhook: () => new Refusal(404, 10015, 'Unknown Webhook'),
  unknownInteraction: () => new Refusal(404, 10062, 'Unknown interaction'),
  tooManyReactions: () => new Refusal(400, 30010, 'Maximum number of reactions reached (20)'),
  unauthorised: () => new Refusal(401, 0, '401: Unauthorized'),
  tooLarge: () => new Refusal(413, 40005, 'Request entity too large'),
  alreadyAcknowledged: () => new Refusal(400, 40060, 'Interaction has already been acknowledged.'),
  missingAccess: () => new Refusal(403, 50001, 'Missing Access'),
  notYours: () => new Refusal(403, 50005, 'Cannot edit a message authored by another user'),
  empty: () => new Refusal(400, 50006, 'Cannot send an empty message'),
  closedDoor: () => new Refusal(403, 50007, 'Cannot send messages to this user'),
  missingPermissions: () => new Refusal(403, 50013, 'Missing Permissions'),
  staleToken: () => new Refusal(401, 50027, 'Invalid Webhook Token'),
  form: (errors: readonly FormError[]) => new Refusal(400, 50035, 'Invalid Form Body', errors),
  archivedThread: () => new Refusal(400, 50083, 'Thread is archived'),
  noMutualGuild: () => new Refusal(403, 50278, 'Cannot send messages to this user due to having no mutual guilds'),
  replyNeedsHistory: () => new Refusal(400, 160002, 'Cannot reply without permission to read message history'),
  threadExists: () => new Refusal(400, 160004, 'A thread has already been created for this message'),
  lockedThread: () => new Refusal(400, 160005, 'Thread is locked'),
} as const;

/** Throws 50035 when there is anything to say. */
export function refuseForm(errors: readonly FormError[]): void {
  if (errors.length > 0) throw refusals.form(errors);
}
