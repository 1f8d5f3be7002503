import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';

const ROOT = new URL('../../', import.meta.url).pathname;
const FOLDERS = ['server', 'kiosk', 'seed'];
const LONGEST_FILE = 400;
const LONGEST_FUNCTION = 70;
// A table of words is prose, not code; a declaration of styles is not either.
const MAY_EXPORT_DEFAULT = /vite\.config\.ts$/;

interface Source { path: string; text: string; lines: number; imports: string[] }

function filesBelow(folder: string): string[] {
  return readdirSync(join(ROOT, folder), { recursive: true, encoding: 'utf8' }).filter((name) => name.endsWith('.ts')).map((name) => join(folder, name));
}

const sources: Source[] = FOLDERS.flatMap(filesBelow).map((path) => {
  const text = readFileSync(join(ROOT, path), 'utf8');
  const imports = ts.preProcessFile(text, true, true).importedFiles.map(({ fileName }) =>
    fileName.startsWith('.') ? relative(ROOT, new URL(fileName, `file://${ROOT}${path}`).pathname) : fileName);
  return { path, text, lines: text.split('\n').length - 1, imports };
});

const room = (path: string): string => /^(server\/(?:core|contract|store|actions|http|live|postgres|tls)|kiosk\/elements|kiosk\/data|kiosk|seed|server)\//.exec(path)?.[1] ?? path;

/** What each room may import besides itself and packages. */
const MAY_IMPORT: Record<string, string[]> = {
  'server/core': [],
  'server/contract': ['server/core'],
  'server/store': ['server/core'],
  'server/postgres': [],
  'server/tls': [],
  'server/actions': ['server/store', 'server/core', 'server/contract'],
  'server/http': ['server/actions', 'server/core', 'server/contract'],
  'server/live': ['server/actions', 'server/core', 'server/contract'],
  'kiosk/elements': ['kiosk', 'server/core', 'server/contract'],
  'kiosk/data': ['kiosk', 'server/core', 'server/contract'],
  kiosk: ['kiosk/elements', 'kiosk/data', 'server/core', 'server/contract'],
  seed: ['server/actions', 'server/contract', 'server/core'],
};

describe('the ways between the rooms', () => {
  it('go one way only: move what both need into the room that both may import', () => {
    const wrong = sources.flatMap(({ path, imports }) => {
      const allowed = MAY_IMPORT[room(path)];
      if (!allowed) return [];
      return imports.filter((to) => /^(server|kiosk|seed)\//.test(to)).map(room)
        .filter((to) => to !== room(path) && !allowed.includes(to)).map((to) => `${path} imports ${to}`);
    });
    expect(wrong).toEqual([]);
  });

  it('let only the store and the launcher know the database: write a query file in server/store', () => {
    const wrong = sources.filter(({ path, imports }) => !/^server\/(store|postgres)\//.test(path) && imports.some((name) => name === 'pg' || name === 'kysely'));
    expect(wrong.map(({ path }) => path)).toEqual([]);
  });
});

describe('the core', () => {
  it('is pure: take the instant and the draws as arguments, return what you found', () => {
    const impure = /\bDate\.now\b|\bnew Date\(\)|\bMath\.random\b|\bconsole\.|\bprocess\.|\bfetch\(|\bsetTimeout\b/;
    const wrong = sources.filter(({ path, text, imports }) => path.startsWith('server/core/') && (impure.test(text) || imports.some((name) => !name.startsWith('server/core/'))));
    expect(wrong.map(({ path }) => path)).toEqual([]);
  });
});

describe('files', () => {
  it('have one subject: split one that grew past its limit by what its parts are about', () => {
    expect(sources.filter(({ lines }) => lines > LONGEST_FILE).map(({ path, lines }) => `${path}: ${lines}`)).toEqual([]);
  });

  it('are short as a rule: median at most 80 lines, 95 of 100 at most 300', () => {
    const lines = sources.map((source) => source.lines).sort((a, b) => a - b);
    expect(lines[Math.floor(lines.length * 0.5)]).toBeLessThanOrEqual(80);
    expect(lines[Math.floor(lines.length * 0.95)]).toBeLessThanOrEqual(300);
  });

  it('export by name: a default export has no name to search for', () => {
    expect(sources.filter(({ path, text }) => /^export default/m.test(text) && !MAY_EXPORT_DEFAULT.test(path)).map(({ path }) => path)).toEqual([]);
  });

  it('are finished', () => {
    const marks = new RegExp(`\\b(${['TO' + 'DO', 'FIX' + 'ME', 'HA' + 'CK'].join('|')})\\b`);
    expect(sources.filter(({ text }) => marks.test(text)).map(({ path }) => path)).toEqual([]);
  });
});

describe('functions', () => {
  it('fit on a page: give a part of a long one a name of its own', () => {
    const wrong: string[] = [];
    for (const { path, text } of sources) {
      const file = ts.createSourceFile(path, text, ts.ScriptTarget.Latest, true);
      const visit = (node: ts.Node): void => {
        if (ts.isFunctionLike(node) && 'body' in node && node.body) {
          const line = (at: number) => file.getLineAndCharacterOfPosition(at).line;
          const length = line(node.end) - line(node.getStart()) + 1;
          if (length > LONGEST_FUNCTION) wrong.push(`${path}:${line(node.getStart()) + 1} ${length} lines`);
        }
        ts.forEachChild(node, visit);
      };
      visit(file);
    }
    expect(wrong).toEqual([]);
  });
});

describe('the guides', () => {
  it('name only commands that exist', () => {
    const scripts = Object.keys((JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as { scripts: Record<string, string> }).scripts);
    const named = ['README.md', 'DEVELOPERS.md'].flatMap((guide) => {
      const text = readFileSync(join(ROOT, guide), 'utf8');
      return [...text.matchAll(/npm run ([\w:-]+)/g)].map((match) => match[1]!);
    });
    expect(named.filter((name) => !scripts.includes(name))).toEqual([]);
  });
});
