import { BufferAttribute, BufferGeometry, DoubleSide, Ray, Vector3 } from 'three'
import { MeshBVH } from 'three-mesh-bvh'
import type { Figure } from '../../src/core/mesh/figure.ts'
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
