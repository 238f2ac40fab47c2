import { createRequire } from 'node:module';

/** Colours of all pictures. They stand on their own light ground: nobody knows what a chat puts behind them. */
export const INK = { ground: '#ffffff', text: '#1b1b1b', quiet: '#555555', line: '#333333', metal: '#6b6b6b', seal: '#0b4f8a', band: '#c6daee', bandEdge: '#4f7fae', danger: '#a31515' } as const;

const channel = (hex: string, at: number): number => {
  const value = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
  return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
};

const luminance = (hex: string): number => 0.2126 * channel(hex, 1) + 0.7152 * channel(hex, 3) + 0.0722 * channel(hex, 5);

/** Contrast of two colours by WCAG 2.2, 1 to 21. */
export const contrast = (a: string, b: string): number => {
  const [light, dark] = [luminance(a), luminance(b)].toSorted((one, other) => other - one) as [number, number];
  return (light + 0.05) / (dark + 0.05);
};

const escaped = (words: string): string => words.replace(/[<>&"]/g, (sign) => `&#${sign.charCodeAt(0)};`);

export type TextStyle = { readonly size?: number; readonly anchor?: 'start' | 'middle' | 'end'; readonly fill?: string; readonly bold?: boolean };

export const text = (x: number, y: number, words: string, { size = 28, anchor = 'middle', fill = INK.text, bold = false }: TextStyle = {}): string =>
  `<text x="${x.toFixed(1)}" y="${y.toFixed(1)}" font-size="${size}" text-anchor="${anchor}" fill="${fill}"${bold ? ' font-weight="bold"' : ''}>${escaped(words)}</text>`;

export const stroke = (d: string, colour: string, width: number, more = ''): string => `<path d="${d}" fill="none" stroke="${colour}" stroke-width="${width}" ${more}/>`;

export const svg = (width: number, height: number, parts: readonly string[]): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" font-family="DejaVu Sans"><rect width="${width}" height="${height}" fill="${INK.ground}"/>${parts.join('')}</svg>`;

const font = (name: string): string => createRequire(import.meta.url).resolve(`dejavu-fonts-ttf/ttf/${name}.ttf`);
export const FONTS = { plain: () => font('DejaVuSans'), bold: () => font('DejaVuSans-Bold') } as const;

/** An SVG as PNG. The fonts are named: without one the text would be left out silently. */
export const toPng = async (drawn: string): Promise<Uint8Array> => {
  const { Resvg } = await import('@resvg/resvg-js');
  return new Resvg(drawn, { font: { fontFiles: [FONTS.plain(), FONTS.bold()], loadSystemFonts: false, defaultFontFamily: 'DejaVu Sans' } }).render().asPng();
};
