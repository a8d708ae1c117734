import { type FileLimit, ProblemError } from '../core/problem.ts'
import type { IntakeLimits } from './intake-limits.ts'
import type { ReadPace } from './read-pace.ts'

/** What every reader is handed beside the bytes. */
export interface ReaderContext {
  readonly fileName: string
  readonly sideFiles: ReadonlyMap<string, Uint8Array>
  readonly limits: IntakeLimits
  readonly pace: ReadPace
}

/**
 * @param detail completes "The file is damaged: …"; cut to 200 characters, for it may quote the file
 * @throws ProblemError file/damaged
 */
export function damaged({ fileName }: Pick<ReaderContext, 'fileName'>, detail: string): never {
  throw new ProblemError({
    code: 'file/damaged',
    fileName,
    detail: detail.length > 200 ? `${detail.slice(0, 199)}…` : detail,
  })
}

/** @throws ProblemError file/too-large when `found` is above the limit */
export function within(
  { fileName, limits }: Pick<ReaderContext, 'fileName' | 'limits'>,
  limit: keyof IntakeLimits,
  found: number,
): void {
  if (found <= limits[limit]) return
  throw new ProblemError({ code: 'file/too-large', fileName, found, limit: limits[limit], what: WORDS[limit] })
}

const WORDS: Readonly<Record<keyof IntakeLimits, FileLimit>> = {
  bytes: 'bytes',
  triangles: 'triangles',
  vertices: 'vertices',
  pieces: 'parts',
  depth: 'depth',
  inflatedBytes: 'inflated bytes',
}
