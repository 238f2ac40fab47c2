import type PDFKit from 'pdfkit';
import { FONTS, INK } from '../seals/picture.ts';
import type { Sheet, SheetBlock } from './sheet-view.ts';

type Doc = typeof PDFKit extends new (...given: never[]) => infer D ? D : never;

/** A4 in points, and what stays free round it for the printer. */
const PAGE = { width: 595.28, height: 841.89, edge: 34 } as const;
const GAP = 20;
/** Sizes of the running text tried in turn: the largest at which all stands on the one page. */
const SIZES = [12, 11.5, 11, 10.5, 10, 9.5, 9, 8.5, 8, 7.5, 7] as const;

type Pen = { readonly doc: Doc; readonly size: number; readonly dry: boolean };

/** Puts a text down (or only measures it) and returns where it ends. */
const put = ({ doc, dry }: Pen, words: string, x: number, y: number, width: number, size: number, bold: boolean, colour: string = INK.text): number => {
  doc.font(bold ? 'bold' : 'plain').fontSize(size);
  const height = doc.heightOfString(words, { width });
  if (!dry) doc.fillColor(colour).text(words, x, y, { width });
  return y + height;
};

const putBlock = (pen: Pen, { title, lines }: SheetBlock, x: number, y: number, width: number, numbered: boolean): number => {
  let at = put(pen, title, x, y, width, pen.size + 1, true);
  lines.forEach((each, i) => {
    if (numbered) put(pen, `${i + 1}`, x, at, 12, pen.size, true);
    at = put(pen, each, x + (numbered ? 13 : 0), at, width - (numbered ? 13 : 0), pen.size, false);
  });
  return at + pen.size * 0.55;
};

const putHead = (pen: Pen, { title, off, calls }: Sheet): number => {
  const width = PAGE.width - 2 * PAGE.edge;
  let y = put(pen, title, PAGE.edge, PAGE.edge, width, 17, true) + 6;
  const top = y;
  const inner = width - 24;
  y = put(pen, off.title, PAGE.edge + 12, y + 9, inner, 18, true, INK.danger) + 3;
  for (const each of off.lines) y = put(pen, each, PAGE.edge + 12, y, inner, 11.5, false);
  y += 5;
  const half = inner / 2 - 8;
  for (let i = 0; i < calls.length; i += 2) {
    const left = put(pen, calls[i] ?? '', PAGE.edge + 12, y, half, 12.5, true);
    const right = calls[i + 1] === undefined ? y : put(pen, calls[i + 1] ?? '', PAGE.edge + 24 + half, y, half, 12.5, true);
    y = Math.max(left, right) + 2;
  }
  y += 6;
  if (!pen.dry) pen.doc.lineWidth(2.5).strokeColor(INK.danger).rect(PAGE.edge, top, width, y - top).stroke();
  return y + 10;
};

/** The whole page with running text of this size; returns where it ends. */
const putPage = (pen: Pen, sheet: Sheet): number => {
  const both = PAGE.width - 2 * PAGE.edge - GAP;
  // What to do in danger is the longer column, and the one that must be read from afar.
  const wide = both * 0.58;
  const width = both - wide;
  const top = putHead(pen, sheet);
  const right = PAGE.edge + wide + GAP;
  let left = put(pen, sheet.dangerTitle, PAGE.edge, top, wide, 14, true, INK.danger) + 5;
  for (const block of sheet.danger) left = putBlock(pen, block, PAGE.edge, left, wide, true);
  let other = put(pen, sheet.routineTitle, right, top, width, 14, true) + 5;
  for (const block of sheet.routine) other = putBlock(pen, block, right, other, width, false);
  other = putBlock(pen, sheet.fitted, right, other + 4, width, false);
  const end = Math.max(left, other);
  if (!pen.dry) pen.doc.lineWidth(1).strokeColor(INK.quiet).moveTo(PAGE.edge + wide + GAP / 2, top).lineTo(PAGE.edge + wide + GAP / 2, end).stroke();
  return put(pen, sheet.foot, PAGE.edge, end + 6, PAGE.width - 2 * PAGE.edge, 8.5, false, INK.quiet);
};

/** One page of A4 as PDF, its fonts inside. Throws RangeError when it does not fit at the smallest size. */
export const sheetPage = async (sheet: Sheet): Promise<Uint8Array> => {
  const { default: PDFDocument } = await import('pdfkit');
  const doc = new PDFDocument({ size: 'A4', margin: 0, font: FONTS.plain(), info: { Title: sheet.title } });
  doc.registerFont('plain', FONTS.plain()).registerFont('bold', FONTS.bold());
  const size = SIZES.find((each) => putPage({ doc, size: each, dry: true }, sheet) <= PAGE.height - PAGE.edge);
  if (size === undefined) throw new RangeError('the wall page does not fit on one page');
  const chunks: Uint8Array[] = [];
  const whole = new Promise<Uint8Array>((resolve, reject) => {
    doc.on('data', (chunk: Uint8Array) => chunks.push(chunk));
    doc.on('end', () => resolve(new Uint8Array(Buffer.concat(chunks))));
    doc.on('error', reject);
  });
  putPage({ doc, size, dry: false }, sheet);
  doc.end();
  return whole;
};
