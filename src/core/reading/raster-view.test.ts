import { BufferAttribute, BufferGeometry, DoubleSide, Ray, Vector3 } from 'three'
import { MeshBVH } from 'three-mesh-bvh'
import { describe, expect, test } from 'vitest'
import type { Figure } from '../mesh/figure.ts'
import { disc, figureOf, icosphere, type TestPiece } from '../spray/test-figures.ts'
import { add, cross, directionFrom, dot, normalize, scale, subtract, type Vec3 } from '../vec3.ts'
import { NOTHING, rasterView, type ViewPoint, type ViewRaster } from './raster-view.ts'

/** So far off that perspective is 1 part in 10,000 of a figure of size 1. */
const FAR = 1e4
const from = (azimuthDegrees: number, elevationDegrees: number, distanceMm = FAR): ViewPoint => ({
  azimuthDegrees,
  elevationDegrees,
  distanceMm,
  target: [0, 0.5, 0],
})

const covered = (raster: ViewRaster): number => raster.triangle.reduce((n, t) => n + (t === NOTHING ? 0 : 1), 0)
const silhouetteMm2 = (raster: ViewRaster): number => covered(raster) * raster.pixelAreaMm2

function pointAt(figure: Figure, raster: ViewRaster, pixel: number): Vec3 {
  const { positions: p, triangles } = figure
  const t = 3 * raster.triangle[pixel]
  const corner = (k: number): Vec3 => [
    p[3 * triangles[t + k]],
    p[3 * triangles[t + k] + 1],
    p[3 * triangles[t + k] + 2],
  ]
  const [b1, b2] = [raster.b1[pixel], raster.b2[pixel]]
  return add(scale(corner(0), 1 - b1 - b2), add(scale(corner(1), b1), scale(corner(2), b2)))
}

const unitCube: TestPiece = {
  positions: Array.from({ length: 8 }, (_, i) => [(i & 1) - 0.5, (i >> 1) & 1, (i >> 2) - 0.5]).flat(),
  // biome-ignore format: a table
  triangles: [0, 2, 3, 0, 3, 1, 4, 5, 7, 4, 7, 6, 0, 4, 6, 0, 6, 2, 1, 3, 7, 1, 7, 5, 0, 1, 5, 0, 5, 4, 2, 6, 7, 2, 7, 3],
}

describe('silhouettes of a unit cube from afar (Cauchy: face, edge and corner on)', () => {
  const cube = figureOf([unitCube])
  test.each([
    ['face', 0, 0, 1],
    ['edge', 45, 0, Math.SQRT2],
    ['corner', 45, (Math.atan(Math.SQRT1_2) * 180) / Math.PI, Math.sqrt(3)],
  ])('%s', (_, azimuth, elevation, area) => {
    expect(silhouetteMm2(rasterView(cube, from(azimuth, elevation)))).toBeCloseTo(area, 2)
  })
})

/** Lit and visible share of a sphere's disc is a lune: (1 + cos φ)/2, φ between light and line of sight. Closed form. */
describe('the lit share of a sphere', () => {
  const sphere = figureOf([icosphere(6, 1, [0, 1, 0])])
  const litShare = (phi: number, size: number): number => {
    const raster = rasterView(sphere, from(20, 35), size)
    // The light stands φ further round, in the plane of the view direction and a level line.
    const view = directionFrom(20, 35)
    const level = directionFrom(110, 0)
    const angle = (phi * Math.PI) / 180
    const light = add(scale(view, Math.cos(angle)), scale(level, Math.sin(angle)))
    let lit = 0
    raster.triangle.forEach((t, pixel) => {
      if (t !== NOTHING && dot(subtract(pointAt(sphere, raster, pixel), [0, 1, 0]), light) > 0) lit++
    })
    return lit / covered(raster)
  }
  test.each([
    [30, 0.933],
    [60, 0.75],
    [90, 0.5],
    [120, 0.25],
  ])('at %i°', (phi, share) => {
    expect(litShare(phi, 512)).toBeCloseTo(share, 2)
    expect(Math.abs(litShare(phi, 512) - (1 + Math.cos((phi * Math.PI) / 180)) / 2)).toBeLessThan(0.002)
  })
  test('settles as the picture grows', () => {
    const error = (size: number) =>
      Math.max(...[30, 60, 120].map(phi => Math.abs(litShare(phi, size) - (1 + Math.cos((phi * Math.PI) / 180)) / 2)))
    expect(error(32)).toBeLessThan(0.03)
    expect(error(512)).toBeLessThan(error(32) / 4)
  })
})

/** A near eye sees a sphere's cap as a larger disc: its outline cone has sin α = R/d. Closed form. */
test('perspective enlarges a near sphere as it should', () => {
  const sphere = figureOf([icosphere(6, 1, [0, 1, 0])])
  const raster = rasterView(sphere, from(-70, 15, 3))
  const tan = Math.tan(Math.asin(1 / 3))
  expect(silhouetteMm2(raster) / (Math.PI * (3 * tan) ** 2)).toBeCloseTo(1, 2)
})

describe('against rays', () => {
  // Pieces of unlike size that hide and cross one another, and a disc that is open to both sides.
  const figure = figureOf([
    icosphere(4, 8, [0, 10, 0]),
    icosphere(3, 4, [6, 20, 5]),
    icosphere(2, 3, [-7, 6, 7]),
    disc(12, 6, 40, [2, 3, -1]),
  ])
  const geometry = new BufferGeometry()
  geometry.setAttribute('position', new BufferAttribute(figure.positions.slice(), 3))
  geometry.setIndex(new BufferAttribute(figure.triangles.slice(), 1))
  const bvh = new MeshBVH(geometry, { indirect: true })

  test.each([from(25, 40, 1000), from(-130, 12, 60), from(60, -40, 45)])('from %o', view => {
    const raster = rasterView(figure, view, 128)
    const back = directionFrom(view.azimuthDegrees, view.elevationDegrees)
    const right = normalize(cross([0, 1, 0], back))
    const up = cross(back, right)
    const eye = add(scale(view.target, figure.heightMm), scale(back, view.distanceMm))
    const seenAt = Array.from({ length: figure.positions.length / 3 }, (_, v) => {
      const to = subtract([...figure.positions.subarray(3 * v, 3 * v + 3)] as unknown as Vec3, eye)
      return [dot(to, right) / -dot(to, back), dot(to, up) / -dot(to, back)]
    })
    const [least, most] = [Math.min, Math.max].map(end => [0, 1].map(k => end(...seenAt.map(at => at[k]))))
    let seen = 0
    let other = 0
    raster.triangle.forEach((t, pixel) => {
      const x = least[0] + ((most[0] - least[0]) * ((pixel % 128) + 0.5)) / 128
      const y = most[1] - ((most[1] - least[1]) * (Math.floor(pixel / 128) + 0.5)) / 128
      const along = normalize(subtract(add(scale(right, x), scale(up, y)), back))
      const hit = bvh.raycastFirst(new Ray(new Vector3(...eye), new Vector3(...along)), DoubleSide)
      if (t !== NOTHING || hit) seen++
      if (t !== (hit?.faceIndex ?? NOTHING)) other++
      else if (hit) {
        const place = add(eye, scale(along, hit.distance))
        expect(Math.hypot(...subtract(place, pointAt(figure, raster, pixel)))).toBeLessThan(1e-3)
      }
    })
    expect(seen).toBeGreaterThan(4000)
    // A ray along an edge belongs to two triangles.
    expect(other / seen).toBeLessThan(0.002)
  })

  test('pixels lie where the eye sees them: rows from the top, columns from its left', () => {
    const view = from(25, 30, 200)
    const raster = rasterView(figure, view, 64)
    const azimuth = (25 * Math.PI) / 180
    const right: Vec3 = [Math.cos(azimuth), 0, -Math.sin(azimuth)]
    const at = (pixel: number) => pointAt(figure, raster, pixel)
    const first = raster.triangle.findIndex(t => t !== NOTHING)
    const last = raster.triangle.findLastIndex(t => t !== NOTHING)
    expect(at(first)[1]).toBeGreaterThan(at(last)[1] + 10)
    const row = 40 * 64
    const columns = Array.from({ length: 64 }, (_, i) => row + i).filter(p => raster.triangle[p] !== NOTHING)
    expect(dot(right, at(columns[columns.length - 1]))).toBeGreaterThan(dot(right, at(columns[0])) + 5)
  })
})

test('an eye inside the figure gives a picture of what is before it, and nothing where nothing is', () => {
  const sphere = figureOf([icosphere(3, 1, [0, 1, 0])])
  expect(covered(rasterView(sphere, from(0, 0, 0.5), 64))).toBeGreaterThan(0)
  expect(covered(rasterView({ ...sphere, triangles: new Uint32Array() }, from(0, 0), 64))).toBe(0)
})
