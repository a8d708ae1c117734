import { describe, expect, test } from 'vitest'
import { lStarOfLuminance } from '../colour/lab.ts'
import { block } from '../mesh/test-surfaces.ts'
import { figureOf } from '../spray/test-figures.ts'
import { figurePanels } from '../surface/figure-panels.ts'
import { directionFrom } from '../vec3.ts'
import { rasterView } from './raster-view.ts'
import { faintestNeighbour, readAreas, unlitAreas, unlitShare } from './read-areas.ts'

/** A box of unlike sides; the file has every corner once a face, so that a face can have a field of its own. */
const SIZE = [4, 10, 7] as const
const solid = block([-2, 0, -3.5], [2, 10, 3.5])
const loosePositions = [...solid.triangles].flatMap(v => [...solid.positions.subarray(3 * v, 3 * v + 3)])
const figure = figureOf([{ positions: loosePositions, triangles: [...solid.triangles].map((_, i) => i) }])
const panels = figurePanels(figure)
const nameOf = (panel: number) => panels.panels[panel].name

/** One number a face, given to its vertices. */
function perFace(of: Readonly<Record<string, number>>): Float32Array {
  const field = new Float32Array(figure.positions.length / 3)
  figure.triangles.forEach((v, c) => {
    field[v] = of[nameOf(panels.panelOf[Math.floor(c / 3)])] ?? 0
  })
  return field
}
const grey = (y: Float32Array) => Float32Array.from({ length: 3 * y.length }, (_, i) => y[Math.floor(i / 3)])

const exposure = perFace({ front: 0.8, left: 0.05, top: 0.3 })
const luminance = perFace({ front: 0.5, left: 0.1, top: 0.4 })
const fields = { linearRgb: grey(luminance), directExposure: exposure }
const from = (azimuthDegrees: number, elevationDegrees: number) =>
  rasterView(figure, { azimuthDegrees, elevationDegrees, distanceMm: 1e4, target: [0, 0.5, 0] })

describe('areas of a box seen from its front left above', () => {
  const view = directionFrom(35, 25)
  const readings = readAreas(from(35, 25), figure, panels, fields, { dark: 0.1 })
  const of = (name: string) => readings.find(r => nameOf(r.panel) === name)!
  /** A flat face has projected area A·cos. Closed form. */
  const projected = {
    front: SIZE[0] * SIZE[1] * view[2],
    left: SIZE[1] * SIZE[2] * view[0],
    top: SIZE[0] * SIZE[2] * view[1],
  }
  const all = projected.front + projected.left + projected.top

  test('three are seen, each with its projected share', () => {
    expect(readings.map(r => nameOf(r.panel)).sort()).toEqual(['front', 'left', 'top'])
    for (const [name, area] of Object.entries(projected)) expect(of(name).seenShare).toBeCloseTo(area / all, 2)
    expect(readings.reduce((sum, r) => sum + r.seenShare, 0)).toBeCloseTo(1, 9)
  })

  test('each with its exposure and value', () => {
    expect(of('front')).toMatchObject({ litShare: 1 })
    expect(of('left')).toMatchObject({ litShare: 0 })
    expect(of('top').meanExposure).toBeCloseTo(0.3, 5)
    expect(of('left').meanValue).toBeCloseTo(lStarOfLuminance(0.1), 4)
  })

  test('the unlit one is named, unless it is meant to stay dark', () => {
    const unlit = unlitAreas(readings, panels, [])
    expect(unlit.map(r => nameOf(r.panel))).toEqual(['left'])
    expect(unlitShare(unlit[0])).toBeCloseTo(projected.left / all, 2)
    expect(unlitAreas(readings, panels, [panels.panels[of('left').panel].id])).toEqual([])
  })

  test('the neighbour nearest in value: the top is 9 steps from the front, 32 from the left', () => {
    const found = faintestNeighbour(of('top').panel, readings, panels)!
    expect(nameOf(found.panel)).toBe('front')
    expect(found.contrast).toBeCloseTo(lStarOfLuminance(0.5) - lStarOfLuminance(0.4), 3)
  })
})

test('from behind neither of them is seen', () => {
  const names = readAreas(from(200, 5), figure, panels, fields, { dark: 0.1 }).map(r => nameOf(r.panel))
  expect(names).not.toContain('front')
  expect(names).not.toContain('left')
  expect(names).toContain('back')
})

test('largest unlit piece of the view first', () => {
  const dim = { ...fields, directExposure: perFace({ front: 0.02, left: 0.05, top: 0.3 }) }
  const readings = readAreas(from(60, 25), figure, panels, dim, { dark: 0.1 })
  expect(unlitAreas(readings, panels, []).map(r => nameOf(r.panel))).toEqual(['left', 'front'])
})

test('an area is lit as far as its exposure passes the threshold: a gradient from 0 to 0.2 up the box, dark below 0.13', () => {
  const rising = Float32Array.from(
    { length: figure.positions.length / 3 },
    (_, v) => 0.02 * figure.positions[3 * v + 1],
  )
  const [front] = readAreas(from(0, 0), figure, panels, { ...fields, directExposure: rising }, { dark: 0.13 })
  expect(nameOf(front.panel)).toBe('front')
  expect(front.litShare).toBeCloseTo(0.35, 2)
  expect(front.meanExposure).toBeCloseTo(0.1, 4)
})
