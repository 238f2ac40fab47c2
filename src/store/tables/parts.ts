/** Rows of src/parts. */
export type PartsTables = Record<never, never>;
