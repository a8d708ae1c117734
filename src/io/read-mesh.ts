import type { FileMesh } from '../core/mesh/file-mesh.ts'
import { ProblemError } from '../core/problem.ts'
import { checkFileMesh } from './check-file-mesh.ts'
import { INTAKE_LIMITS, type IntakeLimits } from './intake-limits.ts'
import { read3mf } from './read-3mf.ts'
import { readGltf } from './read-gltf.ts'
import { readObj } from './read-obj.ts'
import { readPace } from './read-pace.ts'
import { readPly } from './read-ply.ts'
import { looksLikeText, readStl } from './read-stl.ts'
import type { ReaderContext } from './reader-context.ts'
import { within } from './reader-context.ts'

export interface ReadMeshOptions {
  readonly limits?: Partial<IntakeLimits>
  readonly onProgress?: (fraction: number) => void
  readonly signal?: AbortSignal
}

/**
 * A mesh file of any format we know, told by its content first and its name second.
 * @param sideFiles what came with it, by name: the only other bytes that are ever read
 * @throws ProblemError for anything the user can act on; the signal's reason when cancelled
 */
export async function readMesh(
  fileName: string,
  bytes: Uint8Array,
  sideFiles: ReadonlyMap<string, Uint8Array>,
  { limits = {}, onProgress, signal }: ReadMeshOptions = {},
): Promise<FileMesh> {
  if (bytes.length === 0) throw new ProblemError({ code: 'file/empty', fileName })
  const context: ReaderContext = {
    fileName,
    sideFiles,
    limits: { ...INTAKE_LIMITS, ...limits },
    pace: readPace(onProgress, signal),
  }
  within(context, 'bytes', bytes.length)
  const mesh = await readerFor(fileName, bytes)(bytes, context)
  const checked = checkFileMesh(mesh, fileName)
  if (!checked.ok) throw new ProblemError(checked.problem)
  return checked.value
}

type Reader = (bytes: Uint8Array, context: ReaderContext) => Promise<FileMesh>

function readerFor(fileName: string, bytes: Uint8Array): Reader {
  const extension = /\.([^./\\]+)$/.exec(fileName)?.[1].toLowerCase() ?? ''
  const start = String.fromCharCode(...bytes.subarray(0, 4))
  if (/^ply\s/.test(start) || extension === 'ply') return readPly
  if (start.startsWith('PK') || extension === '3mf') return read3mf
  if (start === 'glTF' || extension === 'gltf' || extension === 'glb') return readGltf
  if (extension === 'obj') return readObj
  if (extension === 'stl' || looksLikeText(bytes)) return readStl
  throw new ProblemError({ code: 'file/unsupported', fileName, extension })
}
