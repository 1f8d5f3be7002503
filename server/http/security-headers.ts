import { IncomingMessage, type OutgoingHttpHeaders, ServerResponse } from 'node:http';
import { Socket } from 'node:net';
import type { FastifyInstance } from 'fastify';
import helmet from 'helmet';

const SELF = ["'self'"];
const DAY_S = 86_400;

/**
 * What a browser is told to keep to: scripts, connections and styles of the program's own only, in no other page's frame. Attributes of elements may
 * carry styles, for a drawing computes them; WebAssembly may run, for the camera's codes are read by it. Over plain http no address is turned into https, or a plant without a certificate could not be reached.
 * `hstsDays`: as in the environment; of this name alone, for others of the plant's domain are not this program's to decide on.
 */
export function securityHeaders(app: FastifyInstance, hstsDays: number | null): void {
  const head = helmet({
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'none'"], scriptSrc: [...SELF, "'wasm-unsafe-eval'"], connectSrc: SELF, imgSrc: [...SELF, 'data:', 'blob:'], styleSrc: SELF, styleSrcAttr: ["'unsafe-inline'"], fontSrc: SELF,
        manifestSrc: SELF, mediaSrc: SELF, workerSrc: SELF, formAction: SELF, baseUri: ["'none'"], frameAncestors: ["'none'"], objectSrc: ["'none'"],
      },
    },
    strictTransportSecurity: hstsDays === null ? false : { maxAge: Math.round(hstsDays * DAY_S), includeSubDomains: false }, referrerPolicy: { policy: 'no-referrer' }, xFrameOptions: { action: 'deny' },
    // Only a page that came over https has the policies that need a secure context.
    crossOriginOpenerPolicy: false, originAgentCluster: false,
  });
  const headers = headersOf(head);
  app.addHook('onRequest', (_request, reply, done) => {
    void reply.headers(headers);
    done();
  });
}

/** The headers that `head` puts on every reply: the same each time, so they are put together once. */
function headersOf(head: ReturnType<typeof helmet>): OutgoingHttpHeaders {
  const request = new IncomingMessage(new Socket());
  const response = new ServerResponse(request);
  head(request, response, () => {});
  return response.getHeaders();
}
