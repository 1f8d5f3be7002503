import { PHOTO_BYTES, PHOTO_SIDE } from '../../server/core/photos/jpeg.ts';

const QUALITIES = [0.82, 0.65, 0.45];

/** A picture as one JPEG small enough to be kept, drawn anew, so that nothing the camera wrote beside it (place, time, device) goes along. Throws for what is no picture. */
export async function shrinkPhoto(picture: Blob | HTMLVideoElement): Promise<Blob> {
  const source = picture instanceof Blob ? await createImageBitmap(picture) : picture;
  const [width, height] = source instanceof HTMLVideoElement ? [source.videoWidth, source.videoHeight] : [source.width, source.height];
  const scale = Math.min(1, PHOTO_SIDE / Math.max(width, height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round(width * scale));
  canvas.height = Math.max(1, Math.round(height * scale));
  canvas.getContext('2d')!.drawImage(source, 0, 0, canvas.width, canvas.height);
  for (const quality of QUALITIES) {
    const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, 'image/jpeg', quality));
    if (blob && blob.size <= PHOTO_BYTES) return blob;
  }
  throw new Error('The picture does not get small enough.');
}
