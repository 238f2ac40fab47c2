import { millimetres, type Reader } from '../words/format.ts';
import type { Stack } from './shelf.ts';

/** "8 + 0.5 mm", seal and shim: short enough for a button and for a drawing. */
export const shortStack = (reader: Reader, { sealMm, shimMm }: Stack): string => {
  const seal = millimetres(sealMm, reader.locale);
  return shimMm > 0 ? `${seal.replace(/\D*$/, '')} + ${millimetres(shimMm, reader.locale)}` : seal;
};
