import PDFDocument from 'pdfkit';
import { localText } from '../contract/late-csv.ts';
import type { LateUnit, LateUnits } from '../contract/late-report.ts';
import type { Instant } from '../core/units.ts';
import { latePdfWords, type PdfLanguage } from './late-pdf-words.ts';

/** What stands at the head of the report. */
export interface LatePdfHead {
  plant: string;
  timeZone: string;
  at: Instant;
  /** When the forecast was made; null where there is none. */
  made: Instant | null;
  language: PdfLanguage;
}

type Doc = InstanceType<typeof PDFDocument>;
interface PdfColumn { width: number; text(unit: LateUnit): string }

const MARGIN = 36;
const SPAN = 120;
const PAD = 4;
const SIZE = 8;

/** The late-unit report on paper: US letter, landscape, the 10-90 % span of each unit drawn against its promise. Text only in the letters of Latin-1. */
export function latePdf(groups: readonly LateUnits[], head: LatePdfHead): Promise<Buffer> {
  const doc = new PDFDocument({ size: 'LETTER', layout: 'landscape', margin: MARGIN, bufferPages: true, info: { Title: latePdfWords[head.language].title } });
  const parts: Buffer[] = [];
  doc.on('data', (part: Buffer) => void parts.push(part));
  const done = new Promise<Buffer>((resolve) => void doc.on('end', () => resolve(Buffer.concat(parts))));
  writeHead(doc, head);
  const columns = columnsOf(head);
  const scale = scaleOf(groups.flatMap(({ units }) => units), head.at, MARGIN + columns.reduce((sum, { width }) => sum + width, 0));
  writeHeadings(doc, head, columns, scale);
  for (const { key, units } of groups) {
    if (key !== '') writeGroup(doc, key, () => writeHeadings(doc, head, columns, scale));
    for (const unit of units) writeUnit(doc, unit, columns, scale, () => writeHeadings(doc, head, columns, scale));
  }
  if (groups.length === 0) doc.font('Helvetica').fontSize(11).text(latePdfWords[head.language].none, MARGIN, doc.y + 8);
  const { count } = doc.bufferedPageRange();
  for (let page = 0; page < count; page++) {
    doc.switchToPage(page);
    doc.font('Helvetica').fontSize(SIZE).fillColor('black').text(`${page + 1} / ${count}`, MARGIN, doc.page.height - MARGIN - 10, { width: doc.page.width - 2 * MARGIN, align: 'right', lineBreak: false });
  }
  doc.end();
  return done;
}

function columnsOf({ timeZone, language }: LatePdfHead): PdfColumn[] {
  const words = latePdfWords[language];
  const time = (t: Instant | null): string => (t === null ? '' : localText(timeZone, t).slice(5));
  return [
    { width: 70, text: (unit) => `${unit.unit}\n${unit.model}` }, { width: 62, text: (unit) => unit.dealer }, { width: 52, text: (unit) => unit.promise },
    { width: 130, text: (unit) => [unit.place, ...unit.holds.map((reason) => `${words.held}: ${reason}`), ...unit.stops.map((reason) => `${words.stopped}: ${reason}`), ...unit.openWork.map((what) => `${words.open}: ${what}`)].join('\n') },
    { width: 58, text: ({ outlook }) => (outlook === null ? '' : `${words[outlook.standing]}\n${outlook.missing === null ? '' : `${Math.round(outlook.missing * 100)} %`}`) },
    { width: 68, text: ({ outlook, ready }) => time(outlook === null ? ready : outlook.p50) },
    { width: 110, text: ({ outlook }) => (outlook?.clearBy ?? []).map(({ what, latest }) => `${what}: ${latest === null ? words.tooLate : time(latest)}`).join('\n') },
  ];
}

interface Scale { left: number; from: Instant; to: Instant }

function scaleOf(units: readonly LateUnit[], at: Instant, left: number): Scale {
  const ends = units.flatMap(({ outlook }) => (outlook === null ? [] : [outlook.p90 ?? at, outlook.due]));
  return { left: left + PAD, from: at, to: Math.max(at + 86_400_000, ...ends) };
}

function placeOf({ left, from, to }: Scale, t: Instant): number {
  return left + ((Math.min(to, Math.max(from, t)) - from) / (to - from)) * (SPAN - 2 * PAD);
}

function writeHead(doc: Doc, { plant, timeZone, at, made, language }: LatePdfHead): void {
  const words = latePdfWords[language];
  doc.font('Helvetica-Bold').fontSize(15).text(`${words.title}, ${plant}`, MARGIN, MARGIN);
  const forecast = made === null ? words.noForecast : words.made.replace('{time}', localText(timeZone, made));
  doc.font('Helvetica').fontSize(SIZE + 1).text(`${localText(timeZone, at)} (${timeZone}). ${forecast} ${words.span}`).moveDown(0.6);
}

function writeHeadings(doc: Doc, { language, timeZone }: LatePdfHead, columns: readonly PdfColumn[], scale: Scale): void {
  const top = doc.y;
  let left = MARGIN;
  doc.font('Helvetica-Bold').fontSize(SIZE).fillColor('black');
  let bottom = top;
  [...latePdfWords[language].heads, `${localText(timeZone, scale.from).slice(5, 10)} - ${localText(timeZone, scale.to).slice(5, 10)}`].forEach((heading, i) => {
    const width = columns[i]?.width ?? SPAN;
    doc.text(heading, left, top, { width: width - PAD });
    bottom = Math.max(bottom, doc.y);
    left += width;
  });
  rule(doc, bottom + 2, 1);
  doc.y = bottom + 5;
}

/** On the page if so much fits, else on the next one under its headings. */
function makeRoom(doc: Doc, height: number, headings: () => void): void {
  if (doc.y + height <= doc.page.height - MARGIN - 14) return;
  doc.addPage();
  headings();
}

function writeGroup(doc: Doc, key: string, headings: () => void): void {
  makeRoom(doc, 50, headings);
  doc.font('Helvetica-Bold').fontSize(10).fillColor('black').text(key, MARGIN, doc.y + 4);
  doc.y += 2;
}

function writeUnit(doc: Doc, unit: LateUnit, columns: readonly PdfColumn[], scale: Scale, headings: () => void): void {
  doc.font('Helvetica').fontSize(SIZE);
  const texts = columns.map(({ width, text }) => ({ width, text: text(unit) }));
  const height = Math.max(14, ...texts.map(({ width, text }) => doc.heightOfString(text, { width: width - PAD })));
  makeRoom(doc, height + 4, headings);
  doc.font('Helvetica').fontSize(SIZE).fillColor('black');
  const top = doc.y;
  let left = MARGIN;
  for (const { width, text } of texts) {
    doc.text(text, left, top, { width: width - PAD });
    left += width;
  }
  drawSpan(doc, unit, scale, top);
  rule(doc, top + height + 1, 0.3);
  doc.y = top + height + 4;
}

/** A bar from the 10th to the 90th percentile with the middle marked, and the promise as a line across: beyond it the bar is filled, before it only outlined. */
function drawSpan(doc: Doc, { outlook }: LateUnit, scale: Scale, top: number): void {
  if (outlook === null || outlook.p10 === null || outlook.p90 === null) return;
  const [from, to, due] = [placeOf(scale, outlook.p10), placeOf(scale, outlook.p90), placeOf(scale, outlook.due)];
  const beyond = Math.min(to, Math.max(from, due));
  doc.lineWidth(0.6).rect(from, top + 2, Math.max(1, to - from), 7).stroke('black');
  if (to > beyond) doc.rect(beyond, top + 2, to - beyond, 7).fill('#b3161b');
  if (outlook.p50 !== null) doc.lineWidth(1.2).moveTo(placeOf(scale, outlook.p50), top + 1).lineTo(placeOf(scale, outlook.p50), top + 10).stroke('black');
  doc.lineWidth(1.2).moveTo(due, top - 1).lineTo(due, top + 12).stroke('#0b57b8');
}

function rule(doc: Doc, y: number, width: number): void {
  doc.lineWidth(width).moveTo(MARGIN, y).lineTo(doc.page.width - MARGIN, y).stroke('#777777');
}
