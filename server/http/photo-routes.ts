import type { FastifyInstance } from 'fastify';
import type { Actions } from '../actions/actions.ts';
import { StationhandError } from '../contract/errors.ts';
import { isLetIn } from '../actions/access/caller.ts';
import { callerOf, handedInBy } from './caller-of.ts';

type OfPhoto = { Params: { plant: string; photo: string } };

const JPEG = 'image/jpeg';

/** Photos in and out, each under the id that its device gave it. */
export function photoRoutes(app: FastifyInstance, { quality: { photos } }: Actions): void {
  app.addContentTypeParser(JPEG, { parseAs: 'buffer' }, (_request, body, done) => done(null, body));
  app.put<OfPhoto>('/api/plants/:plant/photos/:photo', (request) => {
    const { body, params } = request;
    if (!Buffer.isBuffer(body)) throw new StationhandError('wrongMediaType');
    const { device, session } = callerOf(request);
    return photos.keep(params.plant, params.photo, body, handedInBy(request), session === null && !isLetIn(device) ? device : null);
  });
  app.get<OfPhoto>('/api/plants/:plant/photos/:photo', async ({ params }, reply) => {
    const bytes = await photos.read(params.plant, params.photo);
    // Whatever is in it, a browser takes it for a picture and for nothing that runs.
    void reply.type(JPEG).header('content-security-policy', "default-src 'none'; sandbox").header('content-disposition', 'inline; filename="photo.jpg"');
    return bytes;
  });
}
