import { describe, expect, test } from 'vitest'
import type { Torch } from '../recipe/recipe.ts'
import { add, directionFrom, frameAround, scale, type Vec3 } from '../vec3.ts'
import { bakeExposure } from './bake-exposure.ts'
import { type Emitter, emittersOf, facingResponse, patternOf, torchAxis } from './emitters.ts'
import { turnResponse } from './film-per-pass.ts'
import { densityPerSr, shareWithin } from './spray-pattern.ts'
import { disc, figureOf, floorSheet, icosphere } from './test-figures.ts'
import { TORCH } from './test-torches.ts'
import { partsKey, torchFieldKey } from './torch-field-key.ts'

const FRONT: Vec3 = [0, 0, 1]
const FLANK: Vec3 = [1, 0, 0]
const TOP: Vec3 = [0, 1, 0]
const figure = { heightMm: 32 }

/** Unoccluded exposure of a plane under the front-and-back pair. */
const pair = (normal: Vec3, rollDegrees: number, count = 400) =>
  [0, 180].reduce((sum, azimuthDegrees) => {
    const torch = { ...TORCH, azimuthDegrees, rollDegrees, spread: 1e-6 }
    return sum + facingResponse(emittersOf(torch, figure, count), [0, 16, 0], normal)
  }, 0)

describe('front and back at 45° (closed form)', () => {
  test('without roll a flat top gets twice a vertical front, a flank nothing', () => {
    expect(pair(TOP, 0) / pair(FRONT, 0)).toBeCloseTo(2, 3)
    expect(pair(FLANK, 0) / pair(FRONT, 0)).toBeLessThan(0.002)
  })
  test('an even roll of ±45° gives a flank tan 22.5° = 0.4142 of the front', () => {
    expect(pair(FLANK, 45) / pair(FRONT, 45)).toBeCloseTo(Math.tan(Math.PI / 8), 3)
    // The front loses sin ρ/ρ, the top nothing.
    expect(pair(TOP, 45) / pair(FRONT, 45)).toBeCloseTo((2 * (Math.PI / 4)) / Math.sin(Math.PI / 4), 3)
  })
  test('the answer converges as the list grows', () => {
    const exact = (2 * (Math.PI / 4)) / Math.sin(Math.PI / 4)
    const off = [4, 16, 64].map(n => Math.abs(pair(TOP, 45, n) / pair(FRONT, 45, n) - exact))
    expect(off[0]).toBeGreaterThan(1e-4)
    expect(off[1]).toBeLessThan(off[0] / 8)
    expect(off[2]).toBeLessThan(off[1] / 8)
  })
})

describe('exposure 1 is a bare surface that faces the torch at its aim', () => {
  const sweeps: Torch['sweep'][] = [
    { kind: 'figure' },
    { kind: 'area', radiusMm: 9 },
    { kind: 'arc', spanDegrees: 70 },
    { kind: 'still', secondsPerPass: 0.5 },
    { kind: 'stroke', lengthMm: 30 },
  ]
  test.each(sweeps)('%j', sweep => {
    const torch = { ...TORCH, aim: [0.1, 0.6, -0.2] as const, azimuthDegrees: 35, rollDegrees: 25, sweep }
    const { aim, toward } = torchAxis(torch, 32)
    for (const n of [1, 7, 64]) expect(facingResponse(emittersOf(torch, figure, n), aim, toward)).toBeCloseTo(1, 9)
  })
})

test('what a facing surface loses by the turn is the closed form that film counts with', () => {
  for (const [elevationDegrees, rollDegrees] of [
    [0, 45],
    [45, 45],
    [20, 180],
    [70, 180],
  ]) {
    const torch = { ...TORCH, elevationDegrees, rollDegrees, spread: 0.002 }
    // Against emitters whose weights are not yet scaled to 1: the mean of cos γ over a fine, even turn.
    const n = 20_000
    const facing = directionFrom(0, elevationDegrees)
    let sum = 0
    for (let i = 0; i < n; i++) {
      const d = directionFrom(rollDegrees * ((2 * (i + 0.5)) / n - 1), elevationDegrees)
      sum += Math.max(0, d[0] * facing[0] + d[1] * facing[1] + d[2] * facing[2]) / n
    }
    expect(turnResponse(torch)).toBeCloseTo(sum, 5)
  }
})

describe('a sweep of the whole figure is parallel spray', () => {
  // Independent: the nozzle really walks over a fine grid in the plane square to the axis, at a real distance.
  const scene = figureOf([floorSheet(9, 36), icosphere(3, 3, [1, 4, -1]), disc(4, 3, 24, [-3, 9, 2])])
  const torch: Torch = { ...TORCH, azimuthDegrees: 30, elevationDegrees: 55, spread: 0.1 }
  const raster = (distanceMm: number): Emitter[] => {
    const { aim, toward } = torchAxis(torch, scene.heightMm)
    const [u, v] = frameAround(toward)
    const step = 0.05 * distanceMm
    const reach = 16 + 4 * 0.1 * distanceMm
    const emitters: Emitter[] = []
    for (let x = -reach; x <= reach; x += step) {
      for (let y = -reach; y <= reach; y += step) {
        const foot = add(aim, add(scale(u, x), scale(v, y)))
        const position = add(foot, scale(toward, distanceMm))
        emitters.push({ kind: 'nozzle', position, aim: foot, pattern: patternOf(torch), weight: step * step })
      }
    }
    return emitters
  }
  test.each([50, 110])('rows walked at %d mm leave what 256 directions leave', distanceMm => {
    const walked = bakeExposure(scene, {}, raster(distanceMm), { bufferSize: 256 })
    const directions = bakeExposure(scene, {}, emittersOf(torch, scene, 256), { bufferSize: 512 })
    let off = 0
    let sum = 0
    walked.forEach((e, i) => {
      off += Math.abs(e - directions[i])
      sum += directions[i]
    })
    expect(sum).toBeGreaterThan(100)
    expect(off / sum).toBeLessThan(0.015)
  })
})

describe('a swept area', () => {
  // On a plane square to the axis: beam footprint convolved with the disc; in the middle 1 − exp(−r²/2σ²) of the rows.
  const torch: Torch = { ...TORCH, aim: [0, 0, 0], elevationDegrees: 90, sweep: { kind: 'area', radiusMm: 10 } }
  const sigma = 0.075 * 80
  test('falls off around the disc like the beam convolved with it', () => {
    const emitters = emittersOf(torch, figure, 2000)
    const convolved = (x: number) => {
      let sum = 0
      for (let a = -10 + 0.1; a < 10; a += 0.2) {
        for (let b = -10 + 0.1; b < 10; b += 0.2) {
          if (a * a + b * b < 100) sum += 0.04 * Math.exp(-((a - x) ** 2 + b * b) / (2 * sigma * sigma))
        }
      }
      return sum / (2 * Math.PI * sigma * sigma)
    }
    const middle = 1 - Math.exp(-100 / (2 * sigma * sigma))
    expect(convolved(0)).toBeCloseTo(middle, 2)
    for (const x of [0, 4, 9, 13, 20]) {
      expect(facingResponse(emitters, [x, 0, 0], [0, 1, 0])).toBeCloseTo(convolved(x) / middle, 1.7)
    }
  })
})

describe('an area swept while the rig turns', () => {
  // Independent: the nozzle walks over a grid of the disc at each of 90 places of the turn; no shadows.
  const torch: Torch = { ...TORCH, elevationDegrees: 20, distanceMm: 100, sweep: { kind: 'area', radiusMm: 7 } }
  const ball = icosphere(2, 6, [2, 15, 1])
  const walked = ({ rollDegrees }: Torch): Emitter[] => {
    const emitters: Emitter[] = []
    const { aim } = torchAxis(torch, 32)
    for (let i = 0; i < 90; i++) {
      const toward = directionFrom(rollDegrees * ((2 * i + 1) / 90 - 1), torch.elevationDegrees)
      const [u, v] = frameAround(toward)
      for (let x = -6.5; x < 7; x++)
        for (let y = -6.5; y < 7; y++) {
          if (x * x + y * y > 49) continue
          const foot = add(aim, add(scale(u, x), scale(v, y)))
          const position = add(foot, scale(toward, 100))
          emitters.push({ kind: 'nozzle', position, aim: foot, pattern: patternOf(torch), weight: 1 })
        }
    }
    return emitters
  }
  test.each([0, 45, 180])('by ±%i°: 64 places leave what a dense walk leaves', rollDegrees => {
    const rolled = { ...torch, rollDegrees }
    const at = (emitters: readonly Emitter[]) =>
      Array.from({ length: ball.positions.length / 3 }, (_, v) => {
        const [x, y, z] = Array.from(ball.positions.slice(3 * v, 3 * v + 3))
        const [nx, ny, nz] = Array.from(ball.normals!.slice(3 * v, 3 * v + 3))
        return facingResponse(emitters, [x, y, z], [nx, ny, nz])
      })
    const dense = at(walked(rolled))
    const ours = at(emittersOf(rolled, figure, 64))
    const [denseSum, oursSum] = [dense, ours].map(a => a.reduce((sum, e) => sum + e))
    const off = ours.reduce((sum, e, v) => sum + Math.abs(e / oursSum - dense[v] / denseSum), 0)
    expect(off).toBeLessThan(0.05)
  })
})

describe('the shapes of a beam', () => {
  test.each(['gaussian', 'parabola', 'cone'] as const)('%s: half of the flow within tan θ = 1.1774 s (C5)', pattern => {
    const beam = patternOf({ pattern, spread: 0.09 })
    expect(shareWithin(beam, 1.1774 * 0.09)).toBeCloseTo(0.5, 4)
    expect(shareWithin(beam, 5 * 0.09)).toBeCloseTo(1, 4)
  })
  test('a parabola and a cone have an edge, where a Gaussian has none', () => {
    expect(densityPerSr(patternOf({ pattern: 'parabola', spread: 0.09 }), Math.cos(Math.atan(2.2 * 0.09)))).toBe(0)
    expect(densityPerSr(patternOf({ pattern: 'cone', spread: 0.09 }), Math.cos(Math.atan(1.7 * 0.09)))).toBe(0)
    expect(
      densityPerSr(patternOf({ pattern: 'gaussian', spread: 0.09 }), Math.cos(Math.atan(2.2 * 0.09))),
    ).toBeGreaterThan(0)
  })
})

describe('torchFieldKey', () => {
  const key = torchFieldKey('f', { a: 'apart' }, TORCH)
  test('does not change with what only scales the deposit', () => {
    const scaled: Torch = { ...TORCH, id: 'x', name: 'y', muted: true, passes: 9, linkedTo: 'z' }
    expect(torchFieldKey('f', { b: 'on', a: 'apart' }, scaled)).toBe(key)
    const still = { ...TORCH, sweep: { kind: 'still', secondsPerPass: 1 } } as const
    expect(torchFieldKey('f', {}, { ...still, sweep: { kind: 'still', secondsPerPass: 5 } })).toBe(
      torchFieldKey('f', {}, still),
    )
  })
  test.each<[string, Partial<Torch>]>([
    ['azimuth', { azimuthDegrees: 1 }],
    ['elevation', { elevationDegrees: 44 }],
    ['spread', { spread: 0.08 }],
    ['shape of the beam', { pattern: 'cone' }],
    ['roll', { rollDegrees: 5 }],
    ['sweep', { sweep: { kind: 'area', radiusMm: 5 } }],
  ])('changes with %s', (_, change) => {
    expect(torchFieldKey('f', { a: 'apart' }, { ...TORCH, ...change })).not.toBe(key)
  })
  test('changes with figure and part states', () => {
    expect(torchFieldKey('g', { a: 'apart' }, TORCH)).not.toBe(key)
    expect(torchFieldKey('f', { a: 'absent' }, TORCH)).not.toBe(key)
    expect(partsKey('f', { a: 'absent', b: 'apart' })).toBe(partsKey('f', { b: 'apart', a: 'absent' }))
  })
  test('the length of a stroke counts', () => {
    const stroke = (lengthMm: number): Torch => ({ ...TORCH, sweep: { kind: 'stroke', lengthMm } })
    expect(torchFieldKey('f', {}, stroke(20))).not.toBe(torchFieldKey('f', {}, stroke(21)))
  })
  test('distance and aim count where they change the field, and only there', () => {
    const moved: Partial<Torch> = { distanceMm: 50, aim: [0, 0.7, 0] }
    expect(torchFieldKey('f', { a: 'apart' }, { ...TORCH, ...moved })).toBe(key)
    const seen = (torch: Torch) => emittersOf(torch, figure, 9)
    expect(seen({ ...TORCH, ...moved })).toEqual(seen(TORCH))
    for (const sweep of [
      { kind: 'area', radiusMm: 5 },
      { kind: 'still', secondsPerPass: 1 },
      { kind: 'stroke', lengthMm: 20 },
    ] as const) {
      const torch = { ...TORCH, sweep }
      expect(torchFieldKey('f', {}, { ...torch, distanceMm: 50 })).not.toBe(torchFieldKey('f', {}, torch))
      expect(torchFieldKey('f', {}, { ...torch, aim: [0, 0.7, 0] })).not.toBe(torchFieldKey('f', {}, torch))
    }
  })
})
