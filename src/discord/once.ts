const MOST_REMEMBERED = 2000;

/** True the first time it is asked about an id: the platform may tell of one thing twice within moments. */
export const createOnce = (): ((id: string) => boolean) => {
  const lately = new Set<string>();
  return (id) => {
    if (lately.has(id)) return false;
    lately.add(id);
    const [oldest] = lately;
    if (lately.size > MOST_REMEMBERED && oldest !== undefined) lately.delete(oldest);
    return true;
  };
};
