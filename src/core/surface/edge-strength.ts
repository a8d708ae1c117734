import { nextCorner, type SurfaceEdges } from './surface-edges.ts'

/** The solver stops when what is left of the error is this share of what it began with. */
const TOLERANCE = 1e-6
const MOST_STEPS = 1000
/**
 * A triangle more than this many times as long as it is high counts as higher, as a whole: slivers would stall the
 * solver, and say nothing about the surface. Cotangents cut off one by one would leave it nothing to solve: of a flat
 * triangle's three, the one below zero then outweighs the others.
 */
const MOST_STRETCHED = 20

/**
 * How sharply the surface stands out (positive) or folds in (negative) around each vertex: mean curvature per mm,
 * smoothed over a stated radius, so that it does not depend on how finely the surface is cut. 1/R on a ball, 1/(2R) on
 * a cylinder; on a straight sharp edge that turns by β, β / (2√2 · radiusMm).
 *
 * Edge form: ∫H = ½ Σ length · signed exterior dihedral angle, shared between the two ends of the edge. Smoothing is one
 * implicit step of the heat equation with cotangent weights, of standard deviation `radiusMm` along each direction;
 * the integral of H is kept.
 * @returns W floats, of the joined vertices of `surface`
 */
export function edgeStrengthPerMm(surface: SurfaceEdges, radiusMm: number): Float64Array {
  const { triangles, areasMm2 } = surface
  const vertices = surface.positions.length / 3
  const areas = new Float64Array(vertices)
  for (let h = 0; h < triangles.length; h++) areas[triangles[h]] += areasMm2[(h / 3) | 0] / 3
  // A vertex of slivers only has hardly any area of its own, and takes on what is around it.
  for (let v = 0; v < vertices; v++) areas[v] = Math.max(areas[v], 1e-12)
  return smoothed(surface, areas, turnedMm(surface), (radiusMm * radiusMm) / 2)
}

/** ∫H at every vertex: a quarter of length · signed angle of each of its edges, mm. Positive where convex. */
export function turnedMm({ positions: p, triangles, across, facing }: SurfaceEdges): Float64Array {
  const turned = new Float64Array(p.length / 3)
  for (let h = 0; h < triangles.length; h++) {
    const other = across[h]
    if (other < h) continue
    const [one, two] = [h - (h % 3), other - (other % 3)]
    const [a, b] = [triangles[h], triangles[nextCorner(h)]]
    const ex = p[3 * b] - p[3 * a]
    const ey = p[3 * b + 1] - p[3 * a + 1]
    const ez = p[3 * b + 2] - p[3 * a + 2]
    const length = Math.sqrt(ex * ex + ey * ey + ez * ez)
    if (!(length > 0)) continue
    const cx = facing[one + 1] * facing[two + 2] - facing[one + 2] * facing[two + 1]
    const cy = facing[one + 2] * facing[two] - facing[one] * facing[two + 2]
    const cz = facing[one] * facing[two + 1] - facing[one + 1] * facing[two]
    const cosine = facing[one] * facing[two] + facing[one + 1] * facing[two + 1] + facing[one + 2] * facing[two + 2]
    const angle = Math.atan2((ex * cx + ey * cy + ez * cz) / length, cosine)
    turned[a] += (length * angle) / 4
    turned[b] += (length * angle) / 4
  }
  return turned
}

/** Solves (areas + time · stiffness) x = integrals by conjugate gradients. */
function smoothed(surface: SurfaceEdges, areas: Float64Array, integrals: Float64Array, time: number): Float64Array {
  const { triangles } = surface
  const weights = stiffness(surface).map(w => w * time)
  const diagonal = areas.slice()
  for (let h = 0; h < triangles.length; h++) {
    diagonal[triangles[h]] += weights[h]
    diagonal[triangles[nextCorner(h)]] += weights[h]
  }
  const applied = new Float64Array(areas.length)
  const apply = (x: Float64Array) => {
    for (let v = 0; v < x.length; v++) applied[v] = areas[v] * x[v]
    for (let h = 0; h < triangles.length; h++) {
      const a = triangles[h]
      const b = triangles[nextCorner(h)]
      const flow = weights[h] * (x[a] - x[b])
      applied[a] += flow
      applied[b] -= flow
    }
  }
  const x = new Float64Array(areas.length)
  const rest = integrals.slice()
  const along = rest.map((r, v) => r / diagonal[v])
  let energy = product(rest, along)
  const enough = energy * TOLERANCE * TOLERANCE
  for (let step = 0; step < MOST_STEPS && energy > enough; step++) {
    apply(along)
    const far = energy / product(along, applied)
    let next = 0
    for (let v = 0; v < x.length; v++) {
      x[v] += far * along[v]
      rest[v] -= far * applied[v]
      next += (rest[v] * rest[v]) / diagonal[v]
    }
    for (let v = 0; v < x.length; v++) along[v] = rest[v] / diagonal[v] + (next / energy) * along[v]
    energy = next
  }
  return x
}

/** Half the cotangent of the angle that stands opposite each directed edge; less in slivers, alike for all three. */
function stiffness({ positions: p, triangles, areasMm2 }: SurfaceEdges): Float64Array {
  const weights = new Float64Array(triangles.length)
  for (let h = 0; h < triangles.length; h++) {
    const a = 3 * triangles[h]
    const b = 3 * triangles[nextCorner(h)]
    const c = 3 * triangles[nextCorner(nextCorner(h))]
    let cosine = 0
    let longest = 0
    for (const [from, to] of [
      [a, b],
      [b, c],
      [c, a],
    ])
      longest = Math.max(
        longest,
        (p[to] - p[from]) ** 2 + (p[to + 1] - p[from + 1]) ** 2 + (p[to + 2] - p[from + 2]) ** 2,
      )
    for (let k = 0; k < 3; k++) cosine += (p[a + k] - p[c + k]) * (p[b + k] - p[c + k])
    const doubled = Math.max(2 * areasMm2[(h / 3) | 0], longest / MOST_STRETCHED)
    if (doubled > 0) weights[h] = cosine / doubled / 2
  }
  return weights
}

function product(a: Float64Array, b: Float64Array): number {
  let sum = 0
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i]
  return sum
}
