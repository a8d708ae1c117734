import { describe, expect, test } from 'vitest'
import type { FileMesh } from '../core/mesh/file-mesh.ts'
import { weldFileMesh } from '../core/mesh/weld-file-mesh.ts'
import { figureOf, sheet } from '../core/spray/test-figures.ts'
import { UsageError } from './bake-options.ts'
import { placementFor } from './open-figure.ts'

// A slope, 2 by 3 by 4: every extent is its own.
const slope = figureOf([sheet(3, 3, (u, v) => [2 * u, 3 * v, 4 * u * v])])
const file: FileMesh = {
  format: 'stl',
  positions: slope.positions,
  triangles: slope.triangles,
  pieces: [{ name: 'slope', firstTriangle: 0, triangleCount: slope.triangles.length / 3 }],
  statedUnit: null,
  statedUp: null,
  notes: [],
}
const mesh = weldFileMesh(file)
const SILENT = { unit: null, up: null, front: null, heightMm: null }

describe('what is said goes before what is guessed', () => {
  test('a unit makes a height of the extent along up', () => {
    expect(placementFor(mesh, null, { ...SILENT, unit: 'in', up: '+y' })).toMatchObject({ heightMm: 76.2, unit: 'in' })
    expect(placementFor(mesh, null, { ...SILENT, unit: 'in', up: '-x' })).toMatchObject({ heightMm: 50.8, up: '-x' })
  })
  test('a height goes before a unit', () => {
    expect(placementFor(mesh, null, { ...SILENT, unit: 'in', heightMm: 28 })).toMatchObject({
      heightMm: 28,
      unit: null,
    })
  })
  test('another up brings the front that is usual with it', () => {
    expect(placementFor(mesh, null, { ...SILENT, up: '+y' }).front).toBe('+z')
    expect(placementFor(mesh, null, { ...SILENT, up: '+z' }).front).toBe('-y')
    expect(placementFor(mesh, null, { ...SILENT, up: '+z', front: '+x' }).front).toBe('+x')
  })
  test('a figure cannot look along its own up', () => {
    expect(() => placementFor(mesh, null, { ...SILENT, up: '+z', front: '-z' })).toThrow(UsageError)
  })
})

test('a built-in figure stands as its list says', () => {
  const builtIn = { name: 'slope', title: '', file: 'slope.glb', up: '+y', front: '+z', heightMm: 32, about: '' }
  expect(placementFor(mesh, builtIn, SILENT)).toEqual({ up: '+y', front: '+z', heightMm: 32, unit: null })
  expect(placementFor(mesh, builtIn, { ...SILENT, heightMm: 75 })).toMatchObject({ heightMm: 75 })
})
