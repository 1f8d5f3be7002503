import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import fastifyStatic from '@fastify/static';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { StationhandError } from '../contract/errors.ts';

const BUILT = fileURLToPath(new URL('../../.build/kiosk/', import.meta.url));
/** `/`, `/PLANT` and `/PLANT/SCREEN…` are addresses inside the kiosk's one page; a name with an ending is a file. */
const PAGE = /^\/(?:[^/.]+(?:\/[^/]*)*)?$/;

/** Gives out the built kiosk, and its page for every address of a screen. Without a build there are only the routes. */
export async function kioskFiles(app: FastifyInstance): Promise<void> {
  const built = existsSync(`${BUILT}index.html`);
  if (built) {
    await app.register(fastifyStatic, {
      root: BUILT, wildcard: false, index: false,
      setHeaders: (reply, path) => void reply.header('cache-control', path.includes('/assets/') ? 'public, max-age=31536000, immutable' : 'no-cache'),
    });
  }
  app.setNotFoundHandler((request: FastifyRequest, reply: FastifyReply) => {
    const path = request.url.split('?')[0] ?? '/';
    const isPage = built && request.method === 'GET' && !path.startsWith('/api') && !path.startsWith('/socket.io') && !path.startsWith('/assets/') && PAGE.test(path);
    if (isPage) return reply.sendFile('index.html');
    throw new StationhandError('unknownRoute', { where: `${request.method} ${path.slice(0, 200)}` });
  });
}
