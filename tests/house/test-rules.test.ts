import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';

const ROOT = new URL('../../', import.meta.url).pathname;

interface File { path: string; text: string }

function filesBelow(folder: string): File[] {
  const names = readdirSync(join(ROOT, folder), { recursive: true, encoding: 'utf8' }).filter((name) => name.endsWith('.ts'));
  return names.map((name) => ({ path: join(folder, name), text: readFileSync(join(ROOT, folder, name), 'utf8') }));
}

const tests = filesBelow('tests');
const sources = ['server', 'kiosk', 'seed'].flatMap(filesBelow);

describe('the tests', () => {
  it('all run: take away what picks some of them out or leaves some out', () => {
    const picked = /\b(?:it|test|describe|suite|bench)(?:\.\w+)*\.(?:only|skip|skipIf|runIf|todo|fails)\b/;
    expect(tests.filter(({ text }) => picked.test(text)).map(({ path }) => path)).toEqual([]);
  });

  it('run on any machine: make a folder below os.tmpdir(), find files from import.meta.url', () => {
    const ofOneMachine = /(?:['"`]|file:\/\/)\/(?:home|root|work|tmp|var\/tmp|Users|mnt)\b/;
    expect([...tests, ...sources].filter(({ text }) => ofOneMachine.test(text)).map(({ path }) => path)).toEqual([]);
  });
});

describe('the top of server/', () => {
  const importsOf = ({ path, text }: File): string[] => ts.preProcessFile(text, true, true).importedFiles
    .filter(({ fileName }) => fileName.startsWith('.')).map(({ fileName }) => relative(ROOT, new URL(fileName, `file://${ROOT}${path}`).pathname));
  const isTop = (path: string): boolean => /^server\/[^/]+\.ts$/.test(path);
  const top = sources.filter(({ path }) => isTop(path));
  const { scripts } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as { scripts: Record<string, string> };
  const entryPoints = top.map(({ path }) => path).filter((path) => Object.values(scripts).some((script) => script.split(' ').includes(path)));

  it('has entry points, which a script runs, and the parts they put together: another file belongs in a room', () => {
    const reached = new Set(entryPoints);
    for (const path of reached) for (const to of importsOf(top.find((file) => file.path === path)!)) if (isTop(to)) reached.add(to);
    expect(entryPoints).toContain('server/main.ts');
    expect(top.map(({ path }) => path).filter((path) => !reached.has(path))).toEqual([]);
  });

  it('is imported by no room: what a room needs lives in a room', () => {
    const wrong = sources.filter(({ path }) => !isTop(path)).flatMap((file) => importsOf(file).filter(isTop).map((to) => `${file.path} imports ${to}`));
    expect(wrong).toEqual([]);
  });

  it('has entry points that nobody imports: they run when they are loaded', () => {
    const wrong = [...sources, ...tests].flatMap((file) => importsOf(file).filter((to) => entryPoints.includes(to)).map((to) => `${file.path} imports ${to}`));
    expect(wrong).toEqual([]);
  });
});

describe('how much is tested', () => {
  const lines = (files: readonly File[]): number => files.reduce((sum, { text }) => sum + text.split('\n').length - 1, 0);
  const below = (files: readonly File[], folder: string): File[] => files.filter(({ path }) => path.startsWith(folder));
  /*
   * As many lines of tests as of source are wanted, twice as many of the core. Where that is not reached yet, the ratio that was reached
   * is the floor: raise it whenever it has grown, never lower it.
   */
  it.each([
    { of: 'everything', wanted: 1, floor: 0.43, ratio: lines(tests) / lines(sources) },
    { of: 'the core', wanted: 2, floor: 0.54, ratio: lines(below(tests, 'tests/core/')) / lines(below(sources, 'server/core/')) },
  ])('does not fall for $of: write the tests that go with what was added', ({ of, wanted, floor, ratio }) => {
    console.info(`Lines of tests to lines of source, ${of}: ${ratio.toFixed(2)}; wanted ${wanted}, never below ${floor}.`);
    expect(ratio).toBeGreaterThanOrEqual(Math.min(wanted, floor));
  });
});
