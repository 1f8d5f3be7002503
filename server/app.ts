import cookie from '@fastify/cookie';
import fastify, { type FastifyInstance, type FastifyReply } from 'fastify';
import { createActions, type Actions } from './actions/actions.ts';
import type { ProviderSettings } from './actions/access/provider.ts';
import { isDatabaseAwayError } from './actions/database-away.ts';
import { NOW_HEADER } from './contract/clock.ts';
import type { Instant } from './core/units.ts';
import { delayRoutes } from './http/delay-routes.ts';
import { factRoutes } from './http/fact-routes.ts';
import { accessRoutes, peopleRoutes } from './http/access-routes.ts';
import { guardRoutes } from './http/guard-routes.ts';
import { rateLimits, REQUESTS_A_MINUTE } from './http/rate-limits.ts';
import { securityHeaders } from './http/security-headers.ts';
import { forecastRoutes } from './http/forecast-routes.ts';
import { kioskFiles } from './http/kiosk-files.ts';
import { lateRoutes } from './http/late-routes.ts';
import { loadRoutes } from './http/load-routes.ts';
import { paperRoutes } from './http/paper-routes.ts';
import { plantRoutes } from './http/plant-routes.ts';
import { reportRoutes } from './http/report-routes.ts';
import { qualityRatesRoutes } from './http/quality-rates-routes.ts';
import { qualityRoutes } from './http/quality-routes.ts';
import { photoRoutes } from './http/photo-routes.ts';
import { providerRoutes } from './http/provider-routes.ts';
import { replyToError } from './http/reply-to-error.ts';
import { summaryRoutes } from './http/summary-routes.ts';
import { traceRoutes } from './http/trace-routes.ts';
import { unitRoutes } from './http/unit-routes.ts';
import { startLive } from './live/live.ts';
import type { Db } from './store/database.ts';
import type { Certificate } from './tls/certificates.ts';

export interface AppParts {
  db: Db;
  clock(): Instant;
  log(message: string): void;
  /** The demo plant, with which a browser of this machine pairs by a touch; null: there is none. */
  demo?: () => string | null;
  /** Requests a minute that one device may make. */
  requestsAMinute?: number;
  /** Left out or null: plain HTTP. */
  certificate?: Certificate | null;
  /** As in the environment. */
  hstsDays?: number | null;
  /** Left out or null: people sign in by password alone. */
  provider?: ProviderSettings | null;
}

export interface App {
  fastify: FastifyInstance;
  actions: Actions;
  /** Answers what was taken in, then ends every connection. */
  close(): Promise<void>;
}

const BODY_BYTES = 4 * 1_024 * 1_024;
const PATH_PART = 300;

/** The program without its door: routes, screens and announcements on a server that does not listen yet. */
export async function buildApp({ db, clock, log, demo = () => null, requestsAMinute = REQUESTS_A_MINUTE, certificate = null, hstsDays = null, provider = null }: AppParts): Promise<App> {
  const actions = createActions({ db, now: clock, log, provider });
  const app = fastify({
    https: certificate && { cert: certificate.cert, key: certificate.key },
    bodyLimit: BODY_BYTES, forceCloseConnections: 'idle', routerOptions: { maxParamLength: PATH_PART },
    // A fact that names a prototype is refused by itself, without its neighbours.
    onProtoPoisoning: 'remove', onConstructorPoisoning: 'remove',
    frameworkErrors: (error, _request, reply: FastifyReply) => {
      const { status, reply: said } = replyToError(error, isDatabaseAwayError);
      void reply.status(status).send(said);
    },
  });
  app.addContentTypeParser('text/csv', { parseAs: 'string' }, (_request, body, done) => done(null, body));
  app.removeContentTypeParser('text/plain');
  app.setErrorHandler((error, request, reply) => {
    const { status, reply: said, ours } = replyToError(error, isDatabaseAwayError);
    if (ours) log(`${request.method} ${request.url}: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`);
    return reply.status(status).send(said);
  });
  app.addHook('onRequest', (request, reply, done) => {
    if (request.url.startsWith('/api')) void reply.header('cache-control', 'no-store');
    done();
  });
  app.addHook('onSend', (request, reply, payload, done) => {
    if (request.url.startsWith('/api/')) void reply.header(NOW_HEADER, String(clock()));
    done(null, payload);
  });
  await app.register(cookie);
  securityHeaders(app, hstsDays);
  guardRoutes(app, actions);
  await rateLimits(app, requestsAMinute);
  app.get('/health', async () => {
    await actions.plants();
    return { ok: true };
  });
  if (certificate?.authority) app.get('/authority.crt', (_request, reply) => reply.type('application/x-x509-ca-cert').send(certificate.authority));
  app.get('/api/clock', () => ({ now: clock() }));
  accessRoutes(app, actions, demo);
  providerRoutes(app, actions, log);
  peopleRoutes(app, actions);
  plantRoutes(app, actions);
  paperRoutes(app, actions);
  factRoutes(app, actions);
  photoRoutes(app, actions);
  qualityRoutes(app, actions);
  traceRoutes(app, actions);
  qualityRatesRoutes(app, actions);
  unitRoutes(app, actions);
  delayRoutes(app, actions);
  summaryRoutes(app, actions);
  reportRoutes(app, actions);
  forecastRoutes(app, actions);
  lateRoutes(app, actions);
  loadRoutes(app, actions);
  await kioskFiles(app);
  const live = startLive(app.server, actions, log);
  return {
    fastify: app, actions,
    async close() {
      await live.close();
      await app.close();
      await actions.settled();
    },
  };
}
