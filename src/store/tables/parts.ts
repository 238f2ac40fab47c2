/** One move of a part on a shelf or in a van; lines are never changed, a wrong one is taken back by another. */
export type StockMoveRow = {
  id: string;
  /** `cafe:<id>` or `van:<person>`. */
  shelf: string;
  /** The café whose shelf it is; null for a van. */
  cafe: string | null;
  /** Whose van it is; null for a café's shelf. */
  person: string | null;
  /** A kind of `parts/ledger.ts`; `taken back` undoes another. */
  kind: string;
  /** Null for what is taken back. */
  part: string | null;
  count: number;
  /** The move this one takes back. */
  undoes: string | null;
  /** The close-out that used it; told anew when that is corrected. */
  visit: string | null;
  by_person: string | null;
  by_name: string;
  at: number;
};

/** Rows of src/parts. */
export type PartsTables = { stock_move: StockMoveRow };
