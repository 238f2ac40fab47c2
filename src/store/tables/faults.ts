/** Rows of src/faults. */
export type FaultsTables = Record<never, never>;
