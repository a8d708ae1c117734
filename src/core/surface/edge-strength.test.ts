import { describe, expect, test } from 'vitest'
import { block } from '../mesh/test-surfaces.ts'
import { figureOf, icosphere, sheet, type TestPiece } from '../spray/test-figures.ts'
import { edgeStrengthPerMm, turnedMm } from './edge-strength.ts'
import { type SurfaceEdges, surfaceEdges } from './surface-edges.ts'

const edgesOf = (piece: TestPiece): SurfaceEdges => surfaceEdges(figureOf([piece]))
const sum = (a: ArrayLike<number>) =>
  Array.prototype.reduce.call(a, (s: unknown, x: unknown) => (s as number) + (x as number), 0) as number

function areasOf({ positions, triangles, areasMm2 }: SurfaceEdges): Float64Array {
  const areas = new Float64Array(positions.length / 3)
  triangles.forEach((v, c) => {
    areas[v] += areasMm2[Math.floor(c / 3)] / 3
  })
  return areas
}

/** A ring of radius R with a round section of radius r; every edge closed by wrapping. */
function torus(R: number, r: number, n: number, m: number): TestPiece {
  const positions: number[] = []
  const triangles: number[] = []
  for (let i = 0; i < n; i++)
    for (let j = 0; j < m; j++) {
      const [u, v] = [(2 * Math.PI * i) / n, (2 * Math.PI * j) / m]
      const out = R + r * Math.cos(v)
      positions.push(out * Math.cos(u), r * Math.sin(v), -out * Math.sin(u))
      const [a, b] = [i * m + j, ((i + 1) % n) * m + j]
      const [c, d] = [((i + 1) % n) * m + ((j + 1) % m), i * m + ((j + 1) % m)]
      triangles.push(a, b, c, a, c, d)
    }
  return { positions, triangles }
}

/** The angles that are missing from 2π around all vertices add up to 2πχ, whatever the shape (Gauss, Bonnet). */
describe('C24: total curvature', () => {
  const missing = ({ positions: p, triangles }: SurfaceEdges): number => {
    let angles = 0
    for (let h = 0; h < triangles.length; h++) {
      const base = h - (h % 3)
      const [o, a, b] = [0, 1, 2].map(k => 3 * triangles[base + ((h - base + k) % 3)])
      const u = [0, 1, 2].map(k => p[a + k] - p[o + k])
      const v = [0, 1, 2].map(k => p[b + k] - p[o + k])
      const dot = u[0] * v[0] + u[1] * v[1] + u[2] * v[2]
      angles += Math.acos(dot / Math.hypot(...u) / Math.hypot(...v))
    }
    return (2 * Math.PI * p.length) / 3 - angles
  }
  /** V − E + F from what was joined: half of the directed edges that have found their other. */
  const chi = ({ positions, triangles, across }: SurfaceEdges) =>
    positions.length / 3 - across.filter(other => other >= 0).length / 2 + triangles.length / 3
  test.each([
    ['a ball', icosphere(3, 2), 2],
    ['a box in pieces', block([-1, 0, -4], [5, 3, 2]), 2],
    ['a ring', torus(5, 2, 40, 24), 0],
  ])('%s', (_, piece, expected) => {
    const surface = edgesOf(piece)
    expect(chi(surface)).toBe(expected)
    expect(missing(surface)).toBeCloseTo(2 * Math.PI * expected, 4)
  })
})

/** The edges' integral of mean curvature. Closed forms. */
describe('C24: ½ Σ length · angle', () => {
  test('a box: a quarter of π times its twelve edges', () => {
    expect(sum(turnedMm(edgesOf(block([0, 0, 0], [2, 3, 7]))))).toBeCloseTo((Math.PI / 4) * 4 * (2 + 3 + 7), 4)
    expect(sum(turnedMm(edgesOf(block([0, 0, 0], [4, 4, 4]))))).toBeCloseTo(3 * Math.PI * 4, 4)
  })
  test('a ball: 4πR, nearer as its triangles shrink', () => {
    const error = (depth: number) => Math.abs(sum(turnedMm(edgesOf(icosphere(depth, 3)))) / (12 * Math.PI) - 1)
    expect(error(5)).toBeLessThan(1e-3)
    expect(error(5)).toBeLessThan(error(3) / 8)
  })
  test('a ring: 2π²R, where half of it folds in around the hole', () => {
    expect(sum(turnedMm(edgesOf(torus(5, 2, 160, 90)))) / (2 * Math.PI ** 2 * 5)).toBeCloseTo(1, 2)
  })
  test('seen from the inside everything folds in', () => {
    const { positions, triangles } = block([0, 0, 0], [2, 3, 7])
    const inside = triangles.map((_, c) => triangles[c - (c % 3) + [0, 2, 1][c % 3]])
    expect(sum(turnedMm(edgesOf({ positions, triangles: inside })))).toBeCloseTo(-12 * Math.PI, 4)
  })
})

describe('smoothed over a radius', () => {
  test.each([0.2, 0.5])('the integral stays, over %d mm', radius => {
    const surface = edgesOf(torus(5, 2, 90, 50))
    const strength = edgeStrengthPerMm(surface, radius)
    const kept = areasOf(surface).reduce((total, area, v) => total + area * strength[v], 0)
    expect(kept / sum(turnedMm(surface))).toBeCloseTo(1, 5)
  })

  test('a ball of radius R: 1/R everywhere', () => {
    for (const R of [2, 5]) {
      const strength = edgeStrengthPerMm(edgesOf(icosphere(5, R)), 0.4)
      for (const h of strength) expect(h * R).toBeCloseTo(1, 1)
      expect(sum(strength) / strength.length).toBeCloseTo(1 / R, 2)
    }
  })

  test('a cylinder of radius R: 1/(2R) away from its ends', () => {
    const R = 3
    const tube = sheet(120, 80, (u, v) => [R * Math.sin(2 * Math.PI * u), 12 * v, R * Math.cos(2 * Math.PI * u)])
    const surface = edgesOf(tube)
    const strength = edgeStrengthPerMm(surface, 0.4)
    let tried = 0
    strength.forEach((h, v) => {
      const [x, y, z] = surface.positions.subarray(3 * v, 3 * v + 3)
      // Away from the open ends, and from where the sheet's own two ends meet.
      if (Math.abs(y - 6) > 3 || (z > 0 && Math.abs(x) < 1.5)) return
      tried++
      expect(h).toBeCloseTo(1 / (2 * R), 2)
    })
    expect(tried).toBeGreaterThan(1000)
  })

  /** One implicit step over a line source: β/2 · e^(−|x|/√t) / (2√t), t = r²/2. Closed form. */
  test.each([90, -60])('a straight edge that turns %i° stands out by its angle, and fades as it should', degrees => {
    const turn = (degrees * Math.PI) / 180
    const radius = 0.5
    const peak = (cells: number) => {
      const fold = sheet(cells, 12, (u, v) => {
        const x = 8 * (u - 0.5)
        return x <= 0 ? [x, 0, 3 * (0.5 - v)] : [x * Math.cos(turn), -x * Math.sin(turn), 3 * (0.5 - v)]
      })
      const surface = edgesOf(fold)
      const strength = edgeStrengthPerMm(surface, radius)
      const at = (x: number) => {
        for (let v = 0; v < strength.length; v++) {
          const [px, , pz] = surface.positions.subarray(3 * v, 3 * v + 3)
          if (Math.abs(px - x) < 1e-5 && Math.abs(pz) < 1e-5) return strength[v]
        }
        throw new Error(`no vertex at ${x}`)
      }
      return { on: at(0), aside: at(-0.5) }
    }
    const on = turn / (2 * Math.SQRT2 * radius)
    const fine = peak(160)
    expect(fine.on / on).toBeCloseTo(1, 2)
    expect(fine.aside / on).toBeCloseTo(Math.exp(-Math.SQRT2), 2)
    expect(Math.abs(fine.on - on)).toBeLessThan(Math.abs(peak(32).on - on) / 8)
  })
})

/** Repeatable, −½ … ½, without a pattern. */
const scatter = (i: number, k: number): number => {
  const x = Math.sin(127.1 * i + 311.7 * k) * 43758.5453
  return x - Math.floor(x) - 0.5
}

/** Closed forms again, where vertices are pushed about by half of their spacing and diagonals run either way. */
describe('badly cut', () => {
  const RADIUS = 0.5
  /** A fold by 80° along x = 0, 8 by 3 mm. */
  function fold(cells: readonly [number, number], pushed: number): SurfaceEdges {
    const turn = (80 * Math.PI) / 180
    const [n, m] = cells
    const positions: number[] = []
    const triangles: number[] = []
    for (let j = 0; j <= m; j++)
      for (let i = 0; i <= n; i++) {
        const [alongX, alongZ] = [i % n === 0 || 2 * i === n ? 0 : pushed, j % m === 0 ? 0 : pushed]
        const x = 8 * ((i + alongX * scatter(i, j)) / n - 0.5)
        const z = 3 * (0.5 - (j + alongZ * scatter(j, i + 0.5)) / m)
        positions.push(...(x <= 0 ? [x, 0, z] : [x * Math.cos(turn), -x * Math.sin(turn), z]))
        if (i === n || j === m) continue
        const a = j * (n + 1) + i
        const b = a + n + 1
        if (scatter(i, -j) > 0) triangles.push(a, a + 1, b, b, a + 1, b + 1)
        else triangles.push(a, a + 1, b + 1, a, b + 1, b)
      }
    return edgesOf({ positions, triangles })
  }
  /** Largest error, as a share of what stands on the fold itself, away from the open ends. */
  function worst(surface: SurfaceEdges): number {
    const strength = edgeStrengthPerMm(surface, RADIUS)
    const on = (80 * Math.PI) / 180 / (2 * Math.SQRT2 * RADIUS)
    let most = 0
    strength.forEach((h, v) => {
      const [x, y, z] = surface.positions.subarray(3 * v, 3 * v + 3)
      const away = x <= 0 && y === 0 ? -x : Math.hypot(x, y)
      if (Math.abs(z) > 0.7 || away > 3) return
      most = Math.max(most, Math.abs(h / on - Math.exp((-Math.SQRT2 * away) / RADIUS)))
    })
    expect(most).toBeGreaterThan(0)
    return most
  }

  test.each([
    ['as wide as long', 1, 0.5],
    ['six times as wide as long', 6, 0.5],
    ['six times as long as wide', 1 / 6, 0.5],
  ])('a fold, triangles %s: nearer as they shrink', (_, stretch, pushed) => {
    const at = (n: number) => worst(fold([n, Math.max(6, Math.round((n * 3 * stretch) / 8))], pushed))
    // 1/√(1 + w²/(2r²)) on a grid of width w: 6 % too low at w = r/2, 0.7 % at w = r/6. Pushing adds half as much.
    expect(at(32)).toBeLessThan(0.12)
    expect(at(96)).toBeLessThan(0.025)
    expect(at(96)).toBeLessThan(at(32) / 4)
  })
  test('slivers thirty times as wide as high are off by some percent, no more', () => {
    expect(worst(fold([32, 360], 0.6))).toBeLessThan(0.2)
    expect(worst(fold([64, 6], 0.6))).toBeLessThan(0.04)
  })

  /** Pushed along the ball, so that every vertex still lies on it. */
  const unevenBall = (depth: number, R: number): SurfaceEdges => {
    const { positions: even, triangles } = icosphere(depth, R)
    const spacing = R * 1.1 * 2 ** -depth
    const positions = Array.from(even, (x, i) => x + 0.5 * spacing * scatter(i, 7))
    for (let i = 0; i < positions.length; i += 3) {
      const far = Math.hypot(positions[i], positions[i + 1], positions[i + 2])
      for (let k = 0; k < 3; k++) positions[i + k] *= R / far
    }
    return edgesOf({ positions, triangles })
  }
  test('a ball: 1/R, nearer as triangles shrink; the integral stays', () => {
    const R = 2
    const at = (depth: number) => {
      const surface = unevenBall(depth, R)
      const strength = edgeStrengthPerMm(surface, RADIUS)
      const kept = areasOf(surface).reduce((total, area, v) => total + area * strength[v], 0)
      expect(kept / sum(turnedMm(surface))).toBeCloseTo(1, 5)
      return Math.sqrt(strength.reduce((total, h) => total + (h * R - 1) ** 2, 0) / strength.length)
    }
    const off = [3, 4, 5].map(at)
    expect(off[2]).toBeLessThan(0.01)
    expect(off[1]).toBeLessThan(off[0] / 2)
    expect(off[2]).toBeLessThan(off[1] / 2)
  })
  test('a cylinder of few, long triangles: 1/(2R)', () => {
    const R = 3
    // 48 strips around, cut lengthwise only now and then: 0.39 mm wide, 3 mm long.
    const at = (around: number, along: number) => {
      const tube = sheet(around, along, (u, v) => [
        R * Math.sin(2 * Math.PI * u),
        24 * v,
        R * Math.cos(2 * Math.PI * u),
      ])
      const surface = edgesOf(tube)
      const strength = edgeStrengthPerMm(surface, RADIUS)
      let most = 0
      strength.forEach((h, v) => {
        const [x, y, z] = surface.positions.subarray(3 * v, 3 * v + 3)
        if (Math.abs(y - 12) < 5 && !(z > 0 && Math.abs(x) < 2)) most = Math.max(most, Math.abs(2 * R * h - 1))
      })
      return most
    }
    expect(at(48, 8)).toBeLessThan(0.002)
  })
})
