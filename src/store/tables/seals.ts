/** Rows of src/seals. */
export type SealsTables = Record<never, never>;
