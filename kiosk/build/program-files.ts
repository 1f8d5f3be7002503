import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Plugin } from 'vite';

const WORKER = 'service-worker.js';

/** Writes into the service worker which files the program has, each with the hash of its content. `publicFolder` holds those that are built in as they are. */
export function programFiles(publicFolder: string): Plugin {
  return {
    name: 'program-files',
    enforce: 'post',
    generateBundle(_options, bundle) {
      const worker = bundle[WORKER];
      if (worker?.type !== 'chunk') throw new Error('The service worker is not in the build.');
      const built = Object.values(bundle).filter(({ fileName }) => fileName !== WORKER)
        .map((file): [string, string] => [`/${file.fileName}`, hashOf(file.type === 'chunk' ? file.code : file.source)]);
      const as = readdirSync(publicFolder, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile())
        .map((entry) => join(entry.parentPath, entry.name).slice(publicFolder.length + 1))
        .map((name): [string, string] => [`/${name}`, hashOf(readFileSync(join(publicFolder, name)))]);
      const files = [...built, ...as].toSorted(([a], [b]) => (a < b ? -1 : 1));
      worker.code = worker.code.replace('%PROGRAM%', JSON.stringify({ program: hashOf(JSON.stringify(files)), files }));
    },
  };
}

function hashOf(content: string | Uint8Array): string {
  return createHash('sha256').update(content).digest('hex').slice(0, 16);
}
