import { createRequire } from 'node:module';
import { Resvg } from '@resvg/resvg-js';
import type { Bin } from './calibration.ts';

const SIDE = 480;
const EDGE = 60;
const INNER = SIDE - 2 * EDGE;

const x = (said: number): number => EDGE + said * INNER;
const y = (found: number): number => SIDE - EDGE - found * INNER;
const escaped = (text: string): string => text.replace(/[<>&"]/g, (sign) => `&#${sign.charCodeAt(0)};`);
const text = (at: readonly [number, number], words: string, anchor = 'middle'): string => `<text x="${at[0]}" y="${at[1]}" font-family="DejaVu Sans" font-size="15" text-anchor="${anchor}" fill="#222">${escaped(words)}</text>`;

/** What was said against what was found; a dot on the slope is right as often as said, its size tells of how many cases. */
export const calibrationSvg = (bins: readonly Bin[], said: string, found: string): string => {
  const dots = bins.filter(({ cases }) => cases > 0).map((bin) => `<circle cx="${x(bin.said).toFixed(1)}" cy="${y(bin.found).toFixed(1)}" r="${(5 + 2 * Math.sqrt(bin.cases)).toFixed(1)}" fill="#1f5f8b" fill-opacity="0.75"/>`);
  const marks = [0, 0.5, 1].flatMap((at) => [text([x(at), SIDE - EDGE + 22], String(at * 10)), text([EDGE - 10, y(at) + 5], String(at * 10), 'end')]);
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${SIDE}" height="${SIDE}"><rect width="${SIDE}" height="${SIDE}" fill="#fff"/><path d="M${x(0)} ${y(0)}H${x(1)}M${x(0)} ${y(0)}V${y(1)}" stroke="#222" fill="none"/><path d="M${x(0)} ${y(0)}L${x(1)} ${y(1)}" stroke="#888" stroke-dasharray="6 5"/>${marks.join('')}${text([SIDE / 2, SIDE - 14], said)}${text([EDGE, EDGE - 22], found, 'start')}${dots.join('')}</svg>`;
};

const font = (): string => createRequire(import.meta.url).resolve('dejavu-fonts-ttf/ttf/DejaVuSans.ttf');

/** The same as a picture (PNG). */
export const calibrationPicture = (bins: readonly Bin[], said: string, found: string): Uint8Array =>
  new Resvg(calibrationSvg(bins, said, found), { font: { fontFiles: [font()], loadSystemFonts: false, defaultFontFamily: 'DejaVu Sans' } }).render().asPng();
