import type { Server } from 'node:https';
import { type Certificate, certificate, type HttpsWish } from './certificates.ts';

const LOOK_EVERY_MS = 3_600_000;

/** Looks at the certificate every hour, and serves a new one to every connection from then on; resolves nothing, stops when called. */
export function keepRenewed(server: Server, before: Certificate, wish: HttpsWish, dataDir: string, clock: () => number, log: (message: string) => void, everyMs = LOOK_EVERY_MS): () => void {
  let served = before;
  const look = async (): Promise<void> => {
    const now = await certificate(wish, dataDir, clock());
    if (now.cert === served.cert && now.key === served.key) return;
    server.setSecureContext({ cert: now.cert, key: now.key });
    served = now;
    log('A new certificate is served.');
  };
  const timer = setInterval(() => void look().catch((error: unknown) => log(`the certificate stays as it was: ${error instanceof Error ? error.message : String(error)}`)), everyMs);
  return () => clearInterval(timer);
}
