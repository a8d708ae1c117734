import { existsSync, readFileSync } from 'node:fs'
import { BufferAttribute, BufferGeometry, Matrix4 } from 'three'
import { mergeVertices, toCreasedNormals } from 'three/addons/utils/BufferGeometryUtils.js'
import type { Figure } from '../../src/core/mesh/figure.ts'
import { figureOf, icosphere, smoothNormals, type TestPiece } from '../../src/core/spray/test-figures.ts'

/** For tests and benches: figures made or read by other means than the product's own intake. */

export interface GeometryPlacement {
  readonly heightMm: number
  readonly zUp: boolean
  readonly maxEdgeMm: number
}

/** Welded, placed, long edges split, creased at 35°: one part a geometry. */
export function figureFromGeometries(geometries: readonly BufferGeometry[], placement: GeometryPlacement): Figure {
  const bare = geometries.map(geometry => {
    const only = geometry.clone()
    for (const name of Object.keys(only.attributes)) if (name !== 'position') only.deleteAttribute(name)
    if (placement.zUp) only.rotateX(-Math.PI / 2)
    only.computeBoundingBox()
    return only
  })
  const box = bare[0].boundingBox!.clone()
  for (const one of bare) box.union(one.boundingBox!)
  const k = placement.heightMm / (box.max.y - box.min.y)
  return figureOf(
    bare.map(one => {
      one.translate(-(box.min.x + box.max.x) / 2, -box.min.y, -(box.min.z + box.max.z) / 2).scale(k, k, k)
      const merged = mergeVertices(one, 1e-4)
      const positions = Array.from(merged.getAttribute('position').array)
      let triangles: number[] = Array.from(merged.getIndex()!.array)
      for (let round = 0; round < 12; round++) {
        const next = splitLongEdges(positions, triangles, placement.maxEdgeMm)
        if (!next) break
        triangles = next
      }
      const refined = new BufferGeometry()
      refined.setAttribute('position', new BufferAttribute(new Float32Array(positions), 3))
      refined.setIndex(triangles)
      const creased = mergeVertices(toCreasedNormals(refined, (35 * Math.PI) / 180), 1e-5)
      return {
        positions: creased.getAttribute('position').array as Float32Array,
        normals: creased.getAttribute('normal').array as Float32Array,
        triangles: creased.getIndex()!.array as Uint32Array,
      }
    }),
  )
}

/** One round of splitting edges that are too long at their middle, alike in both triangles; null when there are none. */
function splitLongEdges(positions: number[], triangles: readonly number[], maxEdgeMm: number): number[] | null {
  const middles = new Map<number, number>()
  const middleOf = (a: number, b: number): number => {
    const [p, q] = a < b ? [a, b] : [b, a]
    const d = Math.hypot(
      positions[3 * p] - positions[3 * q],
      positions[3 * p + 1] - positions[3 * q + 1],
      positions[3 * p + 2] - positions[3 * q + 2],
    )
    if (d <= maxEdgeMm) return -1
    const key = p * 2 ** 26 + q
    let m = middles.get(key)
    if (m === undefined) {
      m = positions.length / 3
      for (let c = 0; c < 3; c++) positions.push((positions[3 * p + c] + positions[3 * q + c]) / 2)
      middles.set(key, m)
    }
    return m
  }
  const out: number[] = []
  for (let t = 0; t < triangles.length; t += 3) {
    let [a, b, c] = [triangles[t], triangles[t + 1], triangles[t + 2]]
    let [ab, bc, ca] = [middleOf(a, b), middleOf(b, c), middleOf(c, a)]
    // Turn the corners so that the cases below are few.
    for (let turn = 0; turn < 2 && !(ab >= 0 && (ca < 0 || bc >= 0)); turn++) {
      ;[a, b, c, ab, bc, ca] = [b, c, a, bc, ca, ab]
    }
    if (ab < 0) out.push(a, b, c)
    else if (bc < 0) out.push(a, ab, c, ab, b, c)
    else if (ca < 0) out.push(a, ab, c, ab, b, bc, ab, bc, c)
    else out.push(a, ab, ca, ab, b, bc, ca, bc, c, ab, bc, ca)
  }
  return middles.size > 0 ? out : null
}

export const SENTINEL_URL = new URL('../../models/sentinel.glb', import.meta.url)
export const sentinelIsThere = (): boolean => existsSync(SENTINEL_URL)

const METRES_TO_MM = new Matrix4().makeScale(1000, 1000, 1000)

/** The built-in figure as its file has it, 32 mm high, edges up to 0.35 mm. */
export async function sentinelFigure(): Promise<Figure> {
  const { NodeIO } = await import('@gltf-transform/core')
  const { ALL_EXTENSIONS } = await import('@gltf-transform/extensions')
  const { MeshoptDecoder } = await import('meshoptimizer')
  await MeshoptDecoder.ready
  const io = new NodeIO().registerExtensions(ALL_EXTENSIONS).registerDependencies({ 'meshopt.decoder': MeshoptDecoder })
  const file = await io.readBinary(new Uint8Array(readFileSync(SENTINEL_URL)))
  const geometries: BufferGeometry[] = []
  for (const node of file.getRoot().listNodes()) {
    const m = node.getWorldMatrix()
    for (const primitive of node.getMesh()?.listPrimitives() ?? []) {
      const place = primitive.getAttribute('POSITION')!
      const positions = new Float32Array(3 * place.getCount())
      for (let v = 0; v < place.getCount(); v++) {
        const [x, y, z] = place.getElement(v, [0, 0, 0])
        for (let r = 0; r < 3; r++) positions[3 * v + r] = m[r] * x + m[4 + r] * y + m[8 + r] * z + m[12 + r]
      }
      const geometry = new BufferGeometry()
      geometry.name = node.getName()
      // Millimetres: welding tolerances are meant for them.
      geometry.setAttribute('position', new BufferAttribute(positions, 3).applyMatrix4(METRES_TO_MM))
      geometry.setIndex(Array.from(primitive.getIndices()!.getArray()!))
      geometries.push(geometry)
    }
  }
  return figureFromGeometries(geometries, { heightMm: 32, zUp: false, maxEdgeMm: 0.35 })
}

/**
 * Lumpy balls that run into and shade one another, closed, nothing symmetric. 20·4^depth triangles a ball.
 * @param depths one ball each
 */
export function lumpyFigure(depths: readonly number[]): Figure {
  const unit = new Map<number, TestPiece>()
  return figureOf(
    depths.map((depth, i) => {
      const ball = unit.get(depth) ?? icosphere(depth, 1)
      unit.set(depth, ball)
      const angle = i * 2.4
      const centre = [1.9 * i ** 0.5 * Math.cos(angle) * 2, 8 + ((i * 7) % 19), 1.9 * i ** 0.5 * Math.sin(angle) * 2]
      const radius = 7 - (i % 4)
      const positions = Float32Array.from(ball.positions)
      for (let p = 0; p < positions.length; p += 3) {
        const [x, y, z] = [positions[p], positions[p + 1], positions[p + 2]]
        const lump = radius * (1 + 0.12 * Math.sin(5 * x + i) * Math.cos(7 * y - z) + 0.02 * Math.sin(31 * z + 23 * x))
        positions[p] = centre[0] + lump * x
        positions[p + 1] = centre[1] + lump * y
        positions[p + 2] = centre[2] + lump * z
      }
      const triangles = Uint32Array.from(ball.triangles)
      return { positions, triangles, normals: smoothNormals({ positions, triangles }) }
    }),
  )
}
