import type { SurfaceEdges } from './surface-edges.ts'

/** An edge that turns this much lies as well on a border as within; a flat one does not. Radians. */
const CREASE = (35 * Math.PI) / 180
/** Even along the sharpest crease a border is not free: it does not wander. */
const LEAST_COST = 0.02
const MOST_SWEEPS = 20

/**
 * Moves borders by single triangles on to the sharpest edges nearby and shortens them where nothing is sharp: each
 * triangle joins the neighbouring region that leaves least flat border, as long as something is gained. Regions are
 * not made smaller than `leastAreaMm2`. Writes into `regionOf`.
 */
export function straightenBorders(
  { across, facing, areasMm2 }: SurfaceEdges,
  lengthsMm: Float32Array,
  regionOf: Uint32Array,
  leastAreaMm2: number,
): void {
  const areas = new Map<number, number>()
  regionOf.forEach((region, t) => {
    areas.set(region, (areas.get(region) ?? 0) + areasMm2[t])
  })
  const cost = (h: number): number => {
    const [a, b] = [h - (h % 3), across[h] - (across[h] % 3)]
    const cosine = facing[a] * facing[b] + facing[a + 1] * facing[b + 1] + facing[a + 2] * facing[b + 2]
    return lengthsMm[h] * Math.max(LEAST_COST, 1 - Math.acos(Math.min(1, Math.max(-1, cosine))) / CREASE)
  }
  /** What the triangle's border costs when it belongs to a region. */
  const costIn = (region: number, t: number): number => {
    let sum = 0
    for (let h = 3 * t; h < 3 * t + 3; h++)
      if (across[h] >= 0 && regionOf[(across[h] / 3) | 0] !== region) sum += cost(h)
    return sum
  }
  for (let sweep = 0, moved = 1; moved > 0 && sweep < MOST_SWEEPS; sweep++) {
    moved = 0
    for (let t = 0; t < regionOf.length; t++) {
      const own = regionOf[t]
      let best = own
      let least = -1
      for (let h = 3 * t; h < 3 * t + 3; h++) {
        const other = across[h] >= 0 ? regionOf[(across[h] / 3) | 0] : own
        if (other === own || other === best) continue
        if (least < 0) least = costIn(own, t)
        const there = costIn(other, t)
        if (there >= least - 1e-6) continue
        least = there
        best = other
      }
      if (best === own || areas.get(own)! - areasMm2[t] < leastAreaMm2) continue
      regionOf[t] = best
      areas.set(own, areas.get(own)! - areasMm2[t])
      areas.set(best, areas.get(best)! + areasMm2[t])
      moved++
    }
  }
}
