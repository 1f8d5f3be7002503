import { inflateRawSync } from 'node:zlib';

/** A cell as the file has it: text by way of the shared strings, a number, or a number that its format makes a date. */
export type ReadCell = { text: string } | { number: number; format: string } | { formula: string };
export interface ReadSheet { name: string; rows: Map<string, ReadCell>[] }

/** The files of a ZIP archive, by its central directory (PKWARE APPNOTE 4.3.12). */
function unzip(archive: Buffer): Map<string, string> {
  const files = new Map<string, string>();
  const end = archive.lastIndexOf(Buffer.from([0x50, 0x4b, 0x05, 0x06]));
  let at = archive.readUInt32LE(end + 16);
  for (let left = archive.readUInt16LE(end + 10); left > 0; left--) {
    const [method, size, nameLength, extra, comment, header] = [
      archive.readUInt16LE(at + 10), archive.readUInt32LE(at + 20), archive.readUInt16LE(at + 28), archive.readUInt16LE(at + 30), archive.readUInt16LE(at + 32), archive.readUInt32LE(at + 42),
    ];
    const start = header + 30 + archive.readUInt16LE(header + 26) + archive.readUInt16LE(header + 28);
    const data = archive.subarray(start, start + size);
    files.set(archive.toString('utf8', at + 46, at + 46 + nameLength), (method === 8 ? inflateRawSync(data) : data).toString('utf8'));
    at += 46 + nameLength + extra + comment;
  }
  return files;
}

const ENTITIES: Record<string, string> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" };
const plain = (xml: string): string => xml.replace(/&(?:#x([0-9a-f]+)|#(\d+)|(\w+));/gi, (_, hex: string, decimal: string, name: string) =>
  hex ? String.fromCodePoint(parseInt(hex, 16)) : decimal ? String.fromCodePoint(Number(decimal)) : ENTITIES[name]!);
const attribute = (tag: string, name: string): string | null => new RegExp(`\\b${name}="([^"]*)"`).exec(tag)?.[1] ?? null;

/** Reads the first sheet of a workbook from its XML (ECMA-376 part 1, 18.3 and 18.8), by itself and apart from what wrote it. */
export function readXlsx(workbook: Buffer): ReadSheet {
  const files = unzip(workbook);
  const strings = [...files.get('xl/sharedStrings.xml')!.matchAll(/<si>(.*?)<\/si>/gs)].map(([, si]) => [...si!.matchAll(/<t[^>]*?>(.*?)<\/t>/gs)].map(([, t]) => plain(t!)).join(''));
  const styles = files.get('xl/styles.xml')!;
  const formats = new Map([...styles.matchAll(/<numFmt ([^>]*)\/>/g)].map(([, tag]) => [attribute(tag!, 'numFmtId')!, plain(attribute(tag!, 'formatCode')!)]));
  const cellFormats = [.../<cellXfs[^>]*>(.*?)<\/cellXfs>/s.exec(styles)![1]!.matchAll(/<xf ([^>]*?)\/?>/g)].map(([, tag]) => formats.get(attribute(tag!, 'numFmtId') ?? '') ?? 'General');
  const rows: ReadSheet['rows'] = [];
  for (const [, tag, content] of files.get('xl/worksheets/sheet1.xml')!.matchAll(/<row ([^>]*?)(?:\/>|>(.*?)<\/row>)/gs)) {
    const number = Number(attribute(tag!, 'r'));
    // A row of nothing but empty cells may be left out of the file.
    while (rows.length < number) rows.push(new Map());
    for (const [, cell, inside] of (content ?? '').matchAll(/<c ([^>]*?)(?:\/>|>(.*?)<\/c>)/gs)) rows[number - 1]!.set(/^[A-Z]+/.exec(attribute(cell!, 'r')!)![0], cellOf(cell!, inside ?? ''));
  }
  function cellOf(cell: string, inside: string): ReadCell {
    const formula = /<f[^>]*>(.*?)<\/f>/s.exec(inside)?.[1];
    const value = /<v>(.*?)<\/v>/s.exec(inside)?.[1] ?? '';
    if (formula !== undefined) return { formula };
    if (attribute(cell, 't') === 's') return { text: strings[Number(value)]! };
    return { number: Number(value), format: cellFormats[Number(attribute(cell, 's') ?? 0)]! };
  }
  return { name: plain(attribute(/<sheet [^>]*>/.exec(files.get('xl/workbook.xml')!)![0], 'name')!), rows };
}
