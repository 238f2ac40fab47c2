/** Rows of src/water. */
export type WaterTables = Record<never, never>;
