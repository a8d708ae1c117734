import { BufferGeometry } from 'three'
import { STLLoader } from 'three/addons/loaders/STLLoader.js'
import { mergeVertices } from 'three/addons/utils/BufferGeometryUtils.js'
import { CREASE_DEGREES, creaseNormals } from '../../src/core/mesh/crease-normals.ts'
import { weldFileMesh } from '../../src/core/mesh/weld-file-mesh.ts'
import { readMesh } from '../../src/io/read-mesh.ts'

type Figure = { value: number; unit: string; note?: string }

const NO_SIDE_FILES = new Map<string, Uint8Array>()

/** A bumpy ball of 1,000,000 triangles as a binary STL: closed form, so the same on every machine. */
function ballStl(): Uint8Array {
  const rows = 500
  const columns = 1000
  const file = new DataView(new ArrayBuffer(84 + 50 * 2 * rows * columns))
  file.setUint32(80, 2 * rows * columns, true)
  const corner = (row: number, column: number) => {
    const v = (Math.PI * (row + 0.5)) / (rows + 1)
    const u = (2 * Math.PI * (column % columns)) / columns
    const r = 10 + 1.3 * Math.sin(7 * u + 1) * Math.sin(5 * v) + 0.2 * Math.cos(41 * v)
    return [r * Math.sin(v) * Math.cos(u), r * Math.sin(v) * Math.sin(u), 1.4 * r * Math.cos(v)]
  }
  let at = 84
  const triangle = (corners: number[][]) => {
    at += 12
    for (const xyz of corners)
      for (const value of xyz) {
        file.setFloat32(at, value, true)
        at += 4
      }
    at += 2
  }
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const [a, b] = [corner(row, column), corner(row + 1, column)]
      const [c, d] = [corner(row + 1, column + 1), corner(row, column + 1)]
      triangle([a, b, c])
      triangle([a, c, d])
    }
  }
  return new Uint8Array(file.buffer)
}

/** Binary STL to a welded surface with normals, and nothing else: what the peer does. */
async function ours(bytes: Uint8Array): Promise<number> {
  const started = performance.now()
  const mesh = await readMesh('ball.stl', bytes, NO_SIDE_FILES)
  // The reader of binary STL welds while it reads.
  if (!mesh.welded) throw new Error('not welded: measure weldVertices as well')
  creaseNormals(mesh.positions, mesh.triangles, CREASE_DEGREES)
  return performance.now() - started
}

/** The product's whole intake: degenerate triangles, parts, open edges, inside and outside, a fingerprint as well. */
async function whole(bytes: Uint8Array): Promise<number> {
  const started = performance.now()
  const welded = weldFileMesh(await readMesh('ball.stl', bytes, NO_SIDE_FILES))
  creaseNormals(welded.positions, welded.triangles, CREASE_DEGREES)
  return performance.now() - started
}

/** The same with three's own loader and helpers. Its normals are smooth over every crease, so it does a little less. */
function peers(bytes: Uint8Array): number {
  const started = performance.now()
  const parsed = new STLLoader().parse(bytes.buffer as ArrayBuffer)
  const bare = new BufferGeometry().setAttribute('position', parsed.getAttribute('position'))
  mergeVertices(bare).computeVertexNormals()
  return performance.now() - started
}

const median = (values: readonly number[]) => [...values].sort((a, b) => a - b)[values.length >> 1]

export const loadBenches: Record<string, () => Promise<Figure>> = {
  load_ms_1m: async () => {
    const bytes = ballStl()
    const times: number[] = []
    for (let round = 0; round < 5; round++) times.push(await whole(bytes))
    return { value: median(times), unit: 'ms', note: 'binary STL, 1,000,000 triangles, whole intake, median of 5' }
  },
  load_vs_peer_1m: async () => {
    const bytes = ballStl()
    const own: number[] = []
    const other: number[] = []
    const all: number[] = []
    // One after the other, not in turn: the peer leaves hundreds of megabytes of strings for whoever comes next.
    for (let round = 0; round < 5; round++) own.push(await ours(bytes))
    for (let round = 0; round < 5; round++) all.push(await whole(bytes))
    for (let round = 0; round < 5; round++) other.push(peers(bytes))
    return {
      value: median(other) / median(own),
      unit: 'times faster',
      note: `STLLoader + mergeVertices + computeVertexNormals ${Math.round(median(other))} ms, ours ${Math.round(median(own))} ms, our whole intake ${Math.round(median(all))} ms, medians of 5`,
    }
  },
}
