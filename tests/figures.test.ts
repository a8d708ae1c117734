import { readFileSync } from 'node:fs'
import { NodeIO } from '@gltf-transform/core'
import Module from 'manifold-3d'
import { beforeAll, describe, expect, test } from 'vitest'

/**
 * The committed figures, read from disk as a stranger would: bytes → glTF → triangles. Nothing of scripts/figures is
 * imported, so that a fault there cannot vouch for itself.
 */
interface Piece {
  readonly name: string
  /** mm */
  readonly positions: Float64Array
  readonly triangles: Uint32Array
}

const models = new URL('../models/', import.meta.url)
const list = JSON.parse(readFileSync(new URL('figures.json', models), 'utf8')) as {
  name: string
  title: string
  file: string
  up: string
  front: string
  heightMm: number
  about: string
}[]

const figures = new Map<string, Piece[]>()
beforeAll(async () => {
  const io = new NodeIO()
  for (const { name, file } of list) {
    const document = await io.readBinary(new Uint8Array(readFileSync(new URL(file, models))))
    figures.set(
      name,
      document
        .getRoot()
        .listNodes()
        .map(node => {
          const primitives = node.getMesh()?.listPrimitives() ?? []
          if (primitives.length !== 1) throw new Error(`${name}/${node.getName()}: ${primitives.length} primitives`)
          // The writer leaves nodes where they are; a test that ignored a transform would measure the wrong thing.
          expect(node.getWorldMatrix()).toEqual([1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1])
          return {
            name: node.getName(),
            positions: Float64Array.from(
              primitives[0].getAttribute('POSITION')!.getArray() as Float32Array,
              v => v * 1000,
            ),
            triangles: Uint32Array.from(primitives[0].getIndices()!.getArray()!),
          }
        }),
    )
  }
})

/** Corner ids that are equal exactly where positions are. */
function welded({ positions, triangles }: Piece): Uint32Array {
  const ids = new Map<string, number>()
  return triangles.map(v => {
    const key = `${positions[3 * v]},${positions[3 * v + 1]},${positions[3 * v + 2]}`
    if (!ids.has(key)) ids.set(key, ids.size)
    return ids.get(key)!
  })
}

/** Directed edges of the welded mesh and how often each occurs. */
function edges(corners: Uint32Array): Map<number, number> {
  const count = new Map<number, number>()
  for (let i = 0; i < corners.length; i += 3) {
    for (let k = 0; k < 3; k++) {
      const key = corners[i + k] * 2 ** 26 + corners[i + ((k + 1) % 3)]
      count.set(key, (count.get(key) ?? 0) + 1)
    }
  }
  return count
}

const triangleArea = (p: Float64Array, a: number, b: number, c: number) => {
  const u = [0, 1, 2].map(q => p[3 * b + q] - p[3 * a + q])
  const v = [0, 1, 2].map(q => p[3 * c + q] - p[3 * a + q])
  return Math.hypot(u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]) / 2
}

function area({ positions: p, triangles: t }: Piece): number {
  let sum = 0
  for (let i = 0; i < t.length; i += 3) sum += triangleArea(p, t[i], t[i + 1], t[i + 2])
  return sum
}

/** Divergence theorem: a sixth of the sum of the corner determinants. */
function volume({ positions: p, triangles: t }: Piece): number {
  let sum = 0
  for (let i = 0; i < t.length; i += 3) {
    const [a, b, c] = [3 * t[i], 3 * t[i + 1], 3 * t[i + 2]]
    sum +=
      p[a] * (p[b + 1] * p[c + 2] - p[b + 2] * p[c + 1]) +
      p[a + 1] * (p[b + 2] * p[c] - p[b] * p[c + 2]) +
      p[a + 2] * (p[b] * p[c + 1] - p[b + 1] * p[c])
  }
  return sum / 6
}

function components(corners: Uint32Array): number {
  const parent = new Map<number, number>()
  const root = (v: number): number => {
    let r = v
    while (parent.has(r)) r = parent.get(r)!
    while (parent.has(v)) {
      const next = parent.get(v)!
      parent.set(v, r)
      v = next
    }
    return r
  }
  const join = (a: number, b: number) => {
    const [ra, rb] = [root(a), root(b)]
    if (ra !== rb) parent.set(ra, rb)
  }
  for (let i = 0; i < corners.length; i += 3) {
    join(corners[i], corners[i + 1])
    join(corners[i], corners[i + 2])
  }
  return new Set(corners.map(root)).size
}

const extent = (pieces: readonly Piece[], axis: number) => {
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (const { positions } of pieces) {
    for (let i = axis; i < positions.length; i += 3) {
      low = Math.min(low, positions[i])
      high = Math.max(high, positions[i])
    }
  }
  return { low, high }
}

const triangles = (pieces: readonly Piece[]) => pieces.reduce((n, p) => n + p.triangles.length / 3, 0)
const only = (name: string) => figures.get(name)![0]

describe('the list', () => {
  test('starts with the sentinel; names are unique and every entry is complete', () => {
    expect(list[0].name).toBe('sentinel')
    expect(new Set(list.map(e => e.name)).size).toBe(list.length)
    for (const entry of list) {
      expect(entry).toMatchObject({ file: `${entry.name}.glb`, up: '+y', front: '+z', heightMm: 32 })
      expect(entry.title.length * entry.about.length).toBeGreaterThan(0)
    }
  })
})

describe.each(list.map(e => e.name))('%s', name => {
  test('node names are there and unique', () => {
    const names = figures.get(name)!.map(p => p.name)
    expect(names.every(n => n.length > 0)).toBe(true)
    expect(new Set(names).size).toBe(names.length)
  })

  test('every piece is a closed 2-manifold after welding: each edge once in each direction', () => {
    for (const piece of figures.get(name)!) {
      const directed = edges(welded(piece))
      let faults = 0
      for (const [key, count] of directed) {
        const [a, b] = [Math.floor(key / 2 ** 26), key % 2 ** 26]
        if (count !== 1 || directed.get(b * 2 ** 26 + a) !== 1) faults++
      }
      expect(`${piece.name}: ${faults}`).toBe(`${piece.name}: 0`)
    }
  })

  test('every piece is one connected solid, right side out, with a whole number of handles', () => {
    for (const piece of figures.get(name)!) {
      const corners = welded(piece)
      const vertexTotal = new Set(corners).size
      // Euler–Poincaré for one closed orientable surface: V − E + F = 2 − 2·genus.
      const euler = vertexTotal - edges(corners).size / 2 + corners.length / 3
      expect(components(corners), piece.name).toBe(1)
      expect(volume(piece), piece.name).toBeGreaterThan(0)
      expect(Math.abs(euler) % 2, piece.name).toBe(0)
      expect(euler, piece.name).toBeLessThanOrEqual(2)
    }
  })

  test('no triangle without area, and needles (height under a fiftieth of the base) below 1 per 1000', () => {
    for (const { name: pieceName, positions: p, triangles: t } of figures.get(name)!) {
      let needles = 0
      for (let i = 0; i < t.length; i += 3) {
        const [a, b, c] = [t[i], t[i + 1], t[i + 2]]
        const base = Math.max(
          ...[
            [a, b],
            [b, c],
            [c, a],
          ].map(([m, n]) => Math.hypot(...[0, 1, 2].map(q => p[3 * m + q] - p[3 * n + q]))),
        )
        const height = (2 * triangleArea(p, a, b, c)) / base
        expect(height).toBeGreaterThan(0)
        if (height < base / 50) needles++
      }
      expect(needles / (t.length / 3), pieceName).toBeLessThan(1e-3)
    }
  })

  test('stands on y = 0 and is 32 mm high', () => {
    const { low, high } = extent(figures.get(name)!, 1)
    expect(low).toBeCloseTo(0, 4)
    expect(Math.abs(high - 32)).toBeLessThan(0.5)
  })
})

describe('sentinel', () => {
  const PARTS = [
    'Body',
    'Head',
    'Helmet',
    'Left shoulder plate',
    'Right shoulder plate',
    'Cloak',
    'Pack',
    'Shield',
    'Glaive',
    'Base',
  ]

  test('has its parts, within the budget', () => {
    const pieces = figures.get('sentinel')!
    expect(pieces.map(p => p.name).sort()).toEqual([...PARTS].sort())
    expect(triangles(pieces)).toBeGreaterThan(120_000)
    expect(triangles(pieces)).toBeLessThan(180_000)
  })

  test('left is +x: the left shoulder plate and the shield stand there, the glaive on the other side; the pack is behind', () => {
    const middle = (part: string, axis: number) => {
      const { low, high } = extent([figures.get('sentinel')!.find(p => p.name === part)!], axis)
      return (low + high) / 2
    }
    expect(middle('Left shoulder plate', 0)).toBeGreaterThan(2)
    expect(middle('Shield', 0)).toBeGreaterThan(2)
    expect(middle('Right shoulder plate', 0)).toBeLessThan(-2)
    expect(middle('Glaive', 0)).toBeLessThan(-2)
    expect(middle('Pack', 2)).toBeLessThan(-2)
    expect(middle('Shield', 2)).toBeGreaterThan(2)
  })

  test('an independent kernel accepts every piece and measures the same volume', async () => {
    const wasm = await Module()
    wasm.setup()
    for (const piece of figures.get('sentinel')!) {
      const solid = wasm.Manifold.ofMesh(
        new wasm.Mesh({ numProp: 3, vertProperties: Float32Array.from(piece.positions), triVerts: piece.triangles }),
      )
      expect(solid.status(), piece.name).toBe('NoError')
      expect(Math.abs(solid.volume() / volume(piece) - 1), piece.name).toBeLessThan(1e-4)
      solid.delete()
    }
  })

  // [what comes off, what must be met beneath]
  const COVERS: readonly (readonly [string, readonly string[]])[] = [
    ['Helmet', ['Head']],
    ['Left shoulder plate', ['Body']],
    ['Right shoulder plate', ['Body']],
    ['Shield', ['Body']],
    ['Pack', ['Cloak']],
    ['Cloak', ['Body']],
  ]
  test.each(COVERS)('%s off: finished surface of %s beneath, met from outside', (off, under) => {
    const pieces = figures.get('sentinel')!
    const cover = pieces.find(p => p.name === off)!
    const middle = [0, 1, 2].map(axis => {
      const { low, high } = extent([cover], axis)
      return (low + high) / 2
    })
    // From well outside through the middle of the part that came off towards the figure's axis.
    const axis = [0, off === 'Helmet' ? middle[1] : Math.min(middle[1], 21), 0]
    const away = off === 'Helmet' ? [0, 0, 1] : [middle[0] - axis[0], 0, middle[2] - axis[2]]
    const l = Math.hypot(...away)
    const direction = away.map(v => -v / l)
    const from = [0, 1, 2].map(q => (q === 1 ? axis[1] : middle[q]) - 40 * direction[q])
    const met = pieces
      .filter(p => p !== cover)
      .flatMap(p => hits(p, from, direction).map(h => ({ ...h, part: p.name })))
      .sort((a, b) => a.distance - b.distance)
    const beneath = met.filter(h => under.includes(h.part))
    const covering = hits(cover, from, direction).map(h => h.distance)
    expect(beneath.length).toBeGreaterThan(0)
    expect(Math.min(...covering)).toBeLessThan(beneath[0].distance)
    // Enters before it leaves: what is seen is an outside. And every solid that is entered is left again.
    expect(beneath[0].entering).toBe(true)
    for (const p of under) expect(met.filter(h => h.part === p).reduce((n, h) => n + (h.entering ? 1 : -1), 0)).toBe(0)
  })
})

/** Where a ray meets a piece; Möller & Trumbore 1997. */
function hits({ positions: p, triangles: t }: Piece, from: readonly number[], direction: readonly number[]) {
  const found: { distance: number; entering: boolean }[] = []
  const cross = (a: readonly number[], b: readonly number[]) => [
    a[1] * b[2] - a[2] * b[1],
    a[2] * b[0] - a[0] * b[2],
    a[0] * b[1] - a[1] * b[0],
  ]
  const dot = (a: readonly number[], b: readonly number[]) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
  for (let i = 0; i < t.length; i += 3) {
    const at = (k: number) => [0, 1, 2].map(q => p[3 * t[i + k] + q])
    const a = at(0)
    const u = at(1).map((v, q) => v - a[q])
    const v = at(2).map((w, q) => w - a[q])
    const h = cross(direction, v)
    const det = dot(u, h)
    if (Math.abs(det) < 1e-12) continue
    const s = from.map((w, q) => w - a[q])
    const b1 = dot(s, h) / det
    const k = cross(s, u)
    const b2 = dot(direction, k) / det
    if (b1 < 0 || b2 < 0 || b1 + b2 > 1) continue
    found.push({ distance: dot(v, k) / det, entering: det > 0 })
  }
  return found
}

describe('teaching solids against closed forms', () => {
  const EDGE = 0.6
  const longestEdge = ({ positions: p, triangles: t }: Piece) => {
    let longest = 0
    for (let i = 0; i < t.length; i += 3) {
      for (let k = 0; k < 3; k++) {
        const [a, b] = [t[i + k], t[i + ((k + 1) % 3)]]
        longest = Math.max(longest, Math.hypot(...[0, 1, 2].map(q => p[3 * a + q] - p[3 * b + q])))
      }
    }
    return longest
  }
  // A polyhedron inscribed in a ball of radius r with edges up to e lacks at most about (e / r)² / 4 of volume and area.
  const inscribed = (exact: number, radius: number, measured: number) => {
    expect(measured).toBeLessThan(exact * (1 + 1e-5))
    expect(measured).toBeGreaterThan(exact * (1 - (EDGE / radius) ** 2))
  }

  test('sphere: 4/3 π r³ and 4 π r², r = 16', () => {
    inscribed((4 / 3) * Math.PI * 16 ** 3, 16, volume(only('sphere')))
    inscribed(4 * Math.PI * 16 ** 2, 16, area(only('sphere')))
    expect(longestEdge(only('sphere'))).toBeLessThanOrEqual(EDGE)
  })

  test('cylinder: π r² h and 2 π r (r + h), r from the box', () => {
    const r = extent([only('cylinder')], 0).high
    inscribed(Math.PI * r * r * 32, r, volume(only('cylinder')))
    inscribed(2 * Math.PI * r * (r + 32), r, area(only('cylinder')))
    expect(longestEdge(only('cylinder'))).toBeLessThanOrEqual(EDGE)
  })

  test('cone: π r² h / 3 and π r (r + s), r from the box', () => {
    const r = extent([only('cone')], 0).high
    inscribed((Math.PI * r * r * 32) / 3, r, volume(only('cone')))
    inscribed(Math.PI * r * (r + Math.hypot(r, 32)), r, area(only('cone')))
    expect(longestEdge(only('cone'))).toBeLessThanOrEqual(EDGE)
  })

  test('cube: a³ and 6 a²', () => {
    expect(volume(only('cube')) / 32 ** 3).toBeCloseTo(1, 5)
    expect(area(only('cube')) / (6 * 32 ** 2)).toBeCloseTo(1, 5)
  })

  test('stepped block: ten of sixteen blocks of 24 × 8 × 8', () => {
    // 4 + 3 + 2 + 1 columns of blocks; faces: two flanks of ten squares, bottom and back four strips each, top and front as much.
    expect(volume(only('stepped-block')) / (10 * 24 * 8 * 8)).toBeCloseTo(1, 5)
    expect(area(only('stepped-block')) / (2 * 10 * 64 + 4 * 4 * 24 * 8)).toBeCloseTo(1, 5)
  })
})
