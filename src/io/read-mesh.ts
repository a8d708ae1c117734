import type { FileMesh } from '../core/mesh/file-mesh.ts'
import { ProblemError } from '../core/problem.ts'
import { asText } from './byte-scanner.ts'
import { checkFileMesh } from './check-file-mesh.ts'
import { INTAKE_LIMITS, type IntakeLimits } from './intake-limits.ts'
import { readGltf } from './read-gltf.ts'
import { readObj } from './read-obj.ts'
import { readPace } from './read-pace.ts'
import { readPly } from './read-ply.ts'
import { isExactBinaryStl, readStl } from './read-stl.ts'
import { type ReaderContext, within } from './reader-context.ts'

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
  signal?.throwIfAborted()
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

/** With its zip and XML readers it is fetched when the first such file comes. */
const read3mf: Reader = async (bytes, context) => (await import('./read-3mf.ts')).read3mf(bytes, context)

/** A mesh under the wrong name is still that mesh; the name decides only where the content says nothing clear. */
function readerFor(fileName: string, bytes: Uint8Array): Reader {
  const extension = /\.([^./\\]+)$/.exec(fileName)?.[1].toLowerCase() ?? ''
  const start = asText(bytes, 0, Math.min(bytes.length, 4096)).replace(/^\xef\xbb\xbf/, '')
  if (/^ply\s/.test(start)) return readPly
  if (start.startsWith('PK')) return read3mf
  if (start.startsWith('glTF') || /^\s*\{/.test(start)) return readGltf
  if (isExactBinaryStl(bytes) || /^\s*(solid|facet)\s/i.test(start)) return readStl
  if (!start.includes('\0') && /^[ \t]*[vf][ \t]+[-+.\d]/m.test(start)) return readObj
  if (Object.hasOwn(READERS, extension)) return READERS[extension]
  throw new ProblemError({ code: 'file/unsupported', fileName, extension })
}

const READERS: Readonly<Record<string, Reader>> = {
  stl: readStl,
  obj: readObj,
  ply: readPly,
  gltf: readGltf,
  glb: readGltf,
  '3mf': read3mf,
}
