import type { Figure } from '../core/mesh/figure.ts'
import { guessPlacement } from '../core/mesh/guess-placement.ts'
import { describeFileMesh, prepareFigure } from '../core/mesh/prepare-figure.ts'
import { type WeldedMesh, weldFileMesh } from '../core/mesh/weld-file-mesh.ts'
import { ProblemError } from '../core/problem.ts'
import { CGATS_LIMITS, readCgats } from '../io/read-cgats.ts'
import { readMesh } from '../io/read-mesh.ts'
import type { Handlers } from './serve-compute.ts'
import { sha256Hex } from './sha256-hex.ts'

/** Of the whole of reading, parsing takes about this share; welding the rest. */
const PARSE_SHARE = 0.7

/** @param isolated memory may be shared between workers: the bake workers then get one copy of a figure together */
export function intakeHandlers(isolated = false): Handlers<'intake'> {
  let welded: WeldedMesh | null = null
  return {
    async readFile({ fileName, content, sideFiles }, { signal, breathe, onProgress }) {
      const bytes = await bytesOf(content)
      const beside = new Map<string, Uint8Array>()
      for (const [name, file] of sideFiles) beside.set(name, await bytesOf(file))
      const sha256 = await sha256Hex(bytes)
      const mesh = await readMesh(fileName, bytes, beside, {
        signal,
        onProgress: (fraction: number) => onProgress(fraction * PARSE_SHARE),
      })
      await breathe(PARSE_SHARE)
      welded = weldFileMesh(mesh)
      const { triangles, size, statedUnit, statedUp } = describeFileMesh(welded)
      return {
        sha256,
        format: welded.format,
        statedUnit,
        statedUp,
        triangles,
        extents: size,
        notes: welded.notes,
        guess: guessPlacement(welded),
      }
    },

    async readSpectra({ fileName, content }) {
      // Before its text is made; the reader checks again.
      if (content.size > CGATS_LIMITS.bytes)
        throw new ProblemError({
          code: 'file/too-large',
          fileName,
          found: content.size,
          limit: CGATS_LIMITS.bytes,
          what: 'bytes',
        })
      const read = readCgats(fileName, await content.text())
      if (!read.ok) throw new ProblemError(read.problem)
      return { samples: read.value }
    },

    placeFigure({ placement, refinement, copies }) {
      if (!welded) throw new Error('no file was read here')
      const { figure, notes } = prepareFigure(welded, placement, refinement)
      const own = ownArrays(figure, welded)
      const shared = isolated && copies > 2 ? sharedCopyOf(own) : null
      // The first is the paint worker's, which hands arrays to code that is not ours.
      return { figure: own, copies: Array.from({ length: copies }, (_, i) => (i > 0 && shared) || copyOf(own)), notes }
    },
  }
}

const bytesOf = async (file: Blob): Promise<Uint8Array> => new Uint8Array(await file.arrayBuffer())

/** A reply's arrays are moved: none may be a part of a larger buffer, nor one that the welded mesh goes on using. */
function ownArrays(figure: Figure, { positions, triangles }: WeldedMesh): Figure {
  const kept = new Set<ArrayBufferLike>([positions.buffer, triangles.buffer])
  const whole = <A extends Float32Array | Uint32Array>(array: A): A =>
    array.byteLength === array.buffer.byteLength && !kept.has(array.buffer) ? array : (array.slice() as A)
  return {
    ...figure,
    positions: whole(figure.positions),
    normals: whole(figure.normals),
    triangles: whole(figure.triangles),
  }
}

const copyOf = (figure: Figure): Figure => ({
  ...figure,
  positions: figure.positions.slice(),
  normals: figure.normals.slice(),
  triangles: figure.triangles.slice(),
})

function sharedCopyOf(figure: Figure): Figure {
  const floats = (array: Float32Array): Float32Array => {
    const shared = new Float32Array(new SharedArrayBuffer(array.byteLength))
    shared.set(array)
    return shared
  }
  const triangles = new Uint32Array(new SharedArrayBuffer(figure.triangles.byteLength))
  triangles.set(figure.triangles)
  return { ...figure, positions: floats(figure.positions), normals: floats(figure.normals), triangles }
}
