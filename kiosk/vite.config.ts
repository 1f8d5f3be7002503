import { defineConfig } from 'vite';

const api = 'http://127.0.0.1:8080';

/** The kiosk's pages, built into `.build/kiosk`, from where the server gives them out. */
export default defineConfig({
  root: import.meta.dirname,
  base: '/',
  build: { outDir: '../.build/kiosk', emptyOutDir: true, target: 'es2022', sourcemap: false },
  server: { proxy: { '/api': api, '/socket.io': { target: api, ws: true } } },
});
