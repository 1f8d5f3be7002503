import type { FastifyError } from 'fastify';
import { type ErrorCode, type ErrorReply, errorReply, StationhandError } from '../contract/errors.ts';

/** Which HTTP status answers which error of the closed list. */
const STATUS: Record<ErrorCode, number> = {
  malformedFact: 400, factIdTaken: 409, noRight: 403, noIdentity: 401, malformedJson: 400, malformedBody: 400, malformedQuery: 400,
  wrongMediaType: 415, bodyTooLarge: 413, batchTooLarge: 413, malformedPlant: 400, malformedUnits: 400, unknownPlant: 404, unknownUnit: 404, unknownLine: 404, unknownCheck: 404, malformedPhoto: 400, unknownPhoto: 404,
  unknownRoute: 404, signInRefused: 401, signInWaits: 429, providerAway: 503, providerSettings: 503, weakPassword: 400, linkNotGood: 410, codeNotGood: 410, pairAgain: 409, personTaken: 409,
  unknownPerson: 404, unknownDevice: 404, wrongOrigin: 403, tooManyRequests: 429, releaseRefused: 409, shipRefused: 409, noLabelFigures: 404, setupChanged: 409, tooBusy: 503, databaseAway: 503, internal: 500,
};

/** What Fastify itself refuses, by its code. */
const OF_FASTIFY: Record<string, ErrorCode> = {
  FST_ERR_CTP_INVALID_MEDIA_TYPE: 'wrongMediaType', FST_ERR_CTP_BODY_TOO_LARGE: 'bodyTooLarge', FST_ERR_CTP_INVALID_JSON_BODY: 'malformedJson',
  FST_ERR_CTP_EMPTY_JSON_BODY: 'malformedJson', FST_ERR_CTP_INVALID_CONTENT_LENGTH: 'malformedBody', FST_ERR_BAD_URL: 'malformedQuery',
};

export interface Answer {
  status: number;
  reply: ErrorReply;
  /** Not the asker's fault: to be written to the log. */
  ours: boolean;
}

/** The one translator from an error to what is answered. Never says more to the asker than the closed list does. */
export function replyToError(error: unknown, isDatabaseAway: (error: unknown) => boolean): Answer {
  if (error instanceof StationhandError) return { status: STATUS[error.code], reply: error.toReply(), ours: false };
  if (isDatabaseAway(error)) return answer('databaseAway', true);
  const { code, statusCode, name } = error as Partial<FastifyError>;
  const known = OF_FASTIFY[code ?? ''];
  if (known) return answer(known, false);
  if (name === 'SyntaxError' && statusCode === 400) return answer('malformedJson', false);
  if (statusCode !== undefined && statusCode >= 400 && statusCode < 500) return answer(statusCode === 404 ? 'unknownRoute' : 'malformedBody', false);
  return answer('internal', true);
}

function answer(code: ErrorCode, ours: boolean): Answer {
  return { status: STATUS[code], reply: errorReply(code), ours };
}
