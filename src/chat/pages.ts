import type { Option } from './message.ts';

/** A page of a long list with room for a step back and a step on. */
export type Page<T> = { readonly items: readonly T[]; readonly page: number; readonly last: number };

/** Pages of at most `size`, counted from 0; a page outside the list is brought back into it. */
export const pageOf = <T>(all: readonly T[], page: number, size = 23): Page<T> => {
  const last = Math.max(0, Math.ceil(all.length / size) - 1);
  const wanted = Math.min(Math.max(0, Math.trunc(page) || 0), last);
  return { items: all.slice(wanted * size, (wanted + 1) * size), page: wanted, last };
};

/** A page's options with "earlier" and "more" as options of their own, so that a list stays one press. */
export const pagedOptions = (all: readonly Option[], page: number, labels: { readonly earlier: string; readonly more: string }): readonly Option[] => {
  if (all.length <= 25) return all;
  const { items, page: here, last } = pageOf(all, page);
  return [
    ...(here > 0 ? [{ value: `page.${here - 1}`, label: labels.earlier }] : []),
    ...items,
    ...(here < last ? [{ value: `page.${here + 1}`, label: labels.more }] : []),
  ];
};
