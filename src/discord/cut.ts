/** Requests under way, to be ended together. One signal for all of them would grow by a listener with every request. */
export type Cuttable = {
  readonly run: <T>(work: (signal: AbortSignal) => Promise<T>) => Promise<T>;
  readonly cut: () => void;
};

export const createCuttable = (): Cuttable => {
  const open = new Set<AbortController>();
  let over = false;
  return {
    run: async (work) => {
      const one = new AbortController();
      if (over) one.abort();
      open.add(one);
      try {
        return await work(one.signal);
      } finally {
        open.delete(one);
      }
    },
    cut: () => {
      over = true;
      for (const one of open) one.abort();
    },
  };
};
