import { describe, expect, test } from 'vitest'
import { icosphere } from '../spray/test-figures.ts'
import type { Axis, FileMesh } from './file-mesh.ts'
import { guessPlacement } from './guess-placement.ts'
import { placePositions } from './place-figure.ts'
import { block, fileMesh, type Surface } from './test-surfaces.ts'
import { boxOf, weldFileMesh } from './weld-file-mesh.ts'

/** A ball on a stick on a plate, z up, 40 high: the plate is the only flat foot. */
function statuette(factor = 1): Surface[] {
  const ball = icosphere(3, 6, [0, 0, 34])
  const surfaces = [
    block([-12, -12, 0], [12, 12, 2]),
    block([-1, -1, 2], [1, 1, 30]),
    { positions: Float32Array.from(ball.positions), triangles: Uint32Array.from(ball.triangles) },
  ]
  return surfaces.map(s => ({ ...s, positions: s.positions.map(v => v * factor) }))
}

const guess = (surfaces: readonly Surface[], more: Partial<FileMesh> = {}) =>
  guessPlacement(weldFileMesh({ ...fileMesh(surfaces), ...more }))

describe('up', () => {
  const AXES: readonly Axis[] = ['+x', '-x', '+y', '-y', '+z', '-z']
  test.each(AXES)('a flat foot is found wherever %s is up, in any format', up => {
    const turned = statuette().map(surface => {
      const k = 'xyz'.indexOf(up[1])
      const sign = up[0] === '-' ? -1 : 1
      const p = surface.positions
      const out = new Float32Array(p.length)
      for (let i = 0; i < p.length; i += 3) {
        out[i + k] = sign * p[i + 2]
        out[i + ((k + 1) % 3)] = p[i]
        out[i + ((k + 2) % 3)] = sign * p[i + 1]
      }
      return { positions: out, triangles: surface.triangles }
    })
    for (const format of ['stl', 'obj'] as const) {
      const found = guess(turned, { format })
      expect(found.up).toBe(up)
      expect(found.heightMm).toBeCloseTo(40, 3)
      expect(found.front[1]).not.toBe(up[1])
    }
  })
  test('nothing flat and nothing taller: the habit of the format', () => {
    const ball = icosphere(3, 16)
    const surface = { positions: Float32Array.from(ball.positions), triangles: Uint32Array.from(ball.triangles) }
    expect(guess([surface], { format: 'stl' })).toMatchObject({ up: '+z', front: '-y' })
    expect(guess([surface], { format: 'obj' })).toMatchObject({ up: '+y', front: '+z' })
  })
  test('what the file states is believed', () => {
    expect(guess(statuette(0.001), { format: 'gltf', statedUp: '+y', statedUnit: 'm' }).up).toBe('+y')
  })
})

describe('unit', () => {
  test.each([
    [1, 'mm', 40],
    [0.1, 'cm', 40],
    [0.001, 'm', 40],
    [1 / 25.4, 'in', 40],
    [1000, 'µm', 40],
    // 17 m or 17 km high in every unit that could be meant: no guess.
    [17 / 40e3, null, 32],
  ])('40 mm in a file scaled by %f: %s', (factor, unit, heightMm) => {
    const found = guess(statuette(factor))
    // Inches and centimetres overlap: what counts is a believable height; exact where it is mm, m or µm.
    if (unit === 'in') expect(['in', 'cm']).toContain(found.unit)
    else {
      expect(found.unit).toBe(unit)
      expect(found.heightMm).toBeCloseTo(heightMm, 3)
    }
    expect(found.heightMm).toBeGreaterThanOrEqual(5)
    expect(found.heightMm).toBeLessThanOrEqual(400)
  })
  test('a stated unit that makes a house of it is not', () => {
    expect(guess(statuette(1), { statedUnit: 'm' })).toMatchObject({ unit: null, heightMm: 32 })
    expect(guess(statuette(1), { statedUnit: 'in' })).toMatchObject({ unit: null })
    expect(guess(statuette(1), { statedUnit: 'mm' })).toMatchObject({ unit: 'mm' })
  })
})

test('whatever is guessed can be placed, and then has the guessed height', () => {
  const mesh = weldFileMesh(fileMesh(statuette(3.7)))
  const placement = guessPlacement(mesh)
  const box = boxOf(placePositions(mesh.positions, mesh.box, placement))
  expect(box[4]).toBeCloseTo(placement.heightMm, 3)
})
