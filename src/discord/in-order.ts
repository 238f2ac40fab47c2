/** Work that must not overtake work begun before it under the same name, and work in general that is still under way. */
export type InOrder = {
  readonly run: <T>(name: string, work: () => Promise<T>) => Promise<T>;
  /** Counts as under way until it ends, however it ends. */
  readonly track: (work: Promise<unknown>) => void;
  /** Resolves when nothing is under way any more. */
  readonly idle: () => Promise<void>;
};

export const createInOrder = (): InOrder => {
  const lines = new Map<string, Promise<unknown>>();
  const open = new Set<Promise<unknown>>();

  const track = (work: Promise<unknown>): void => {
    const settled = work.then(
      () => undefined,
      () => undefined,
    );
    open.add(settled);
    void settled.then(() => open.delete(settled));
  };

  return {
    track,
    run: <T>(name: string, work: () => Promise<T>): Promise<T> => {
      const before = lines.get(name) ?? Promise.resolve();
      const mine = before.then(work, work);
      const settled = mine.then(
        () => undefined,
        () => undefined,
      );
      lines.set(name, settled);
      void settled.then(() => lines.get(name) === settled && lines.delete(name));
      return mine;
    },
    idle: async () => {
      while (open.size > 0) await Promise.all(open);
    },
  };
};
