// A message of the chat as a telephone of 390 points' width wraps it: text of 16 points, buttons below. Only to be looked at.
import PDFDocument from 'pdfkit';
import { FONTS, INK, svg, text, toPng } from '../dist/seals/picture.js';

const WIDTH = 390;
const SIDE = 16;
const SCALE = 1.4;
const SIZE = 16;
const LEADING = 23;

const measure = new PDFDocument();
const widthOf = (words, bold) => measure.font(bold ? FONTS.bold() : FONTS.plain()).fontSize(SIZE).widthOfString(words);

const wrapped = (line, bold) =>
  line.split(' ').reduce((lines, word) => {
    const last = lines.at(-1);
    return last !== undefined && widthOf(`${last} ${word}`, bold) <= WIDTH - 2 * SIDE ? [...lines.slice(0, -1), `${last} ${word}`] : [...lines, word];
  }, []);

/** Buttons of one row, on as many rows as the width asks for. */
const rowsOf = (labels) =>
  labels.reduce(({ rows, x }, label) => {
    const width = widthOf(label, false) + 28;
    const fits = rows.length > 0 && x + width <= WIDTH - SIDE;
    const at = fits ? x : SIDE;
    return { rows: fits ? [...rows.slice(0, -1), [...rows.at(-1), { label, at, width }]] : [...rows, [{ label, at, width }]], x: at + width + 8 };
  }, { rows: [], x: SIDE }).rows;

/** Lines as posted, each row of buttons one of `[Button] [Button]`. */
export const phonePicture = async (messages) => {
  const parts = [];
  let y = 34;
  for (const lines of messages) {
    const buttons = lines.filter((line) => line.startsWith('['));
    for (const [i, line] of lines.filter((each) => !buttons.includes(each)).entries())
      for (const piece of wrapped(line, i === 0)) {
        parts.push(text(SIDE * SCALE, y * SCALE, piece, { size: SIZE * SCALE, anchor: 'start', bold: i === 0 }));
        y += LEADING;
      }
    for (const row of buttons.flatMap((line) => rowsOf([...line.matchAll(/\[([^\]]+)\]/g)].map(([, label]) => label)))) {
      for (const { label, at, width } of row)
        parts.push(`<rect x="${at * SCALE}" y="${(y - 10) * SCALE}" width="${width * SCALE}" height="${34 * SCALE}" rx="8" fill="#e9e9e9" stroke="${INK.metal}"/>`, text((at + width / 2) * SCALE, (y + 13) * SCALE, label, { size: SIZE * SCALE }));
      y += 42;
    }
    y += 26;
  }
  return toPng(svg(WIDTH * SCALE, (y - 18) * SCALE, parts));
};
