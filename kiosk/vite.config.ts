import { join } from 'node:path';
import { defineConfig } from 'vite';
import { programFiles } from './build/program-files.ts';

const api = 'http://127.0.0.1:8080';
const root = import.meta.dirname;

/** The kiosk's pages and its service worker, built into `.build/kiosk`, from where the server gives them out. */
export default defineConfig({
  root,
  base: '/',
  plugins: [programFiles(join(root, 'public'))],
  build: {
    outDir: '../.build/kiosk', emptyOutDir: true, target: 'es2022', sourcemap: false,
    rolldownOptions: {
      input: { index: join(root, 'index.html'), 'service-worker': join(root, 'worker/service-worker.ts') },
      output: { entryFileNames: ({ name }) => (name === 'service-worker' ? 'service-worker.js' : 'assets/[name]-[hash].js') },
    },
  },
  server: { proxy: { '/api': api, '/socket.io': { target: api, ws: true } } },
});
