import { BufferAttribute, BufferGeometry, DoubleSide, Ray, Vector3 } from 'three'
import { mergeVertices, toCreasedNormals } from 'three/addons/utils/BufferGeometryUtils.js'
import { MeshBVH } from 'three-mesh-bvh'
import type { Figure } from '../../src/core/mesh/figure.ts'
import { figureOf } from '../../src/core/spray/test-figures.ts'
import { length, normalize, subtract, type Vec3 } from '../../src/core/vec3.ts'

/** For tests and benches only: rays as an independent implementation of visibility. */
export function rayReferee(figure: Figure, offsetMm: number) {
  const geometry = new BufferGeometry()
  geometry.setAttribute('position', new BufferAttribute(figure.positions, 3))
  // The tree reorders the index it is given.
  geometry.setIndex(new BufferAttribute(figure.triangles.slice(), 1))
  const bvh = new MeshBVH(geometry, { targetLeafSize: 4 } as never)
  const ray = new Ray(new Vector3(), new Vector3())
  return {
    /** @param source unit direction towards it, or its place */
    visible(vertex: number, source: { toward: Vec3 } | { position: Vec3 }): boolean {
      const i = 3 * vertex
      const { positions: p, normals: n } = figure
      const from: Vec3 = [p[i] + offsetMm * n[i], p[i + 1] + offsetMm * n[i + 1], p[i + 2] + offsetMm * n[i + 2]]
      const way = 'toward' in source ? source.toward : subtract(source.position, from)
      ray.origin.set(...from)
      ray.direction.set(...normalize(way))
      return bvh.raycastFirst(ray, DoubleSide, 0, 'toward' in source ? 1e6 : length(way)) === null
    },
    hits(from: Vec3, way: Vec3): boolean {
      ray.origin.set(...from)
      ray.direction.set(...way)
      return bvh.raycastFirst(ray, DoubleSide) !== null
    },
  }
}

/** Indexed, crease-aware, edges split until none is longer: what intake does, by other means. */
export function figureFromGeometry(
  geometry: BufferGeometry,
  options: { heightMm: number; zUp: boolean; maxEdgeMm: number },
): Figure {
  const bare = new BufferGeometry()
  const welded = geometry.clone()
  for (const name of Object.keys(welded.attributes)) if (name !== 'position') welded.deleteAttribute(name)
  if (options.zUp) welded.rotateX(-Math.PI / 2)
  welded.computeBoundingBox()
  const box = welded.boundingBox!
  const k = options.heightMm / (box.max.y - box.min.y)
  welded.translate(-(box.min.x + box.max.x) / 2, -box.min.y, -(box.min.z + box.max.z) / 2).scale(k, k, k)
  const merged = mergeVertices(welded, 1e-4)
  let positions = Array.from(merged.getAttribute('position').array)
  let triangles: number[] = Array.from(merged.getIndex()!.array)
  for (let round = 0; round < 12; round++) {
    const next = split(positions, triangles, options.maxEdgeMm)
    if (!next) break
    triangles = next
  }
  bare.setAttribute('position', new BufferAttribute(new Float32Array(positions), 3))
  bare.setIndex(triangles)
  positions = []
  const creased = mergeVertices(toCreasedNormals(bare, (35 * Math.PI) / 180), 1e-5)
  return figureOf([
    {
      positions: creased.getAttribute('position').array as Float32Array,
      normals: creased.getAttribute('normal').array as Float32Array,
      triangles: creased.getIndex()!.array as Uint32Array,
    },
  ])
}

/** One round of splitting edges that are too long at their middle, alike in both triangles; null when there are none. */
function split(positions: number[], triangles: readonly number[], maxEdgeMm: number): number[] | null {
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
