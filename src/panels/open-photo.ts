export const PHOTO_LIMITS = { bytes: 40 * 2 ** 20, pixels: 64e6 }

/** A picture file, upright and in sRGB, or a sentence that says why not. Decoded off the main thread by the browser. */
export async function openPhoto(file: File): Promise<ImageBitmap | string> {
  if (file.size > PHOTO_LIMITS.bytes) return 'This photo is larger than 40 MB: save it smaller.'
  let photo: ImageBitmap
  try {
    photo = await createImageBitmap(file, { imageOrientation: 'from-image', premultiplyAlpha: 'none' })
  } catch {
    return 'This is no picture that can be shown here: take a JPEG or a PNG.'
  }
  if (photo.width * photo.height <= PHOTO_LIMITS.pixels) return photo
  photo.close()
  return 'This photo has more than 64 million pixels: save it smaller.'
}
