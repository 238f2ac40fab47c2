/** What of an error may stand in a log: errors of requests carry the message that was sent and the token it was sent with. */
export const errorFacts = (error: unknown): { readonly name: string; readonly message: string; readonly code?: string; readonly stack?: string } => {
  if (!(error instanceof Error)) return { name: typeof error, message: 'unknown' };
  const { code } = error as { readonly code?: unknown };
  return {
    name: error.name, message: error.message,
    ...(typeof code === 'string' || typeof code === 'number' ? { code: String(code) } : {}),
    ...(error.stack === undefined ? {} : { stack: error.stack }),
  };
};
