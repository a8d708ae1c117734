import type { SurfaceEdges } from './surface-edges.ts'

/** Triangles whose normals lie closer than this are one flat: cos 0.1°. Finer than any curve that is worth cutting. */
const FLAT_COSINE = Math.cos((0.1 * Math.PI) / 180)

/**
 * A flat has no crease in it, so no border either: each goes whole to the region that has most of it. Where triangles are
 * much smaller than the radius over which creases are looked for, borders settle a few of them beside the edge. Surfaces
 * that bend everywhere have no flats of more than one triangle. Writes into `regionOf`.
 */
export function keepFlatsWhole({ across, facing, areasMm2 }: SurfaceEdges, regionOf: Uint32Array): void {
  const seen = new Uint8Array(regionOf.length)
  const flat: number[] = []
  for (let first = 0; first < regionOf.length; first++) {
    if (seen[first]) continue
    seen[first] = 1
    flat.length = 0
    flat.push(first)
    const areas = new Map<number, number>()
    for (let i = 0; i < flat.length; i++) {
      const t = flat[i]
      areas.set(regionOf[t], (areas.get(regionOf[t]) ?? 0) + areasMm2[t])
      for (let h = 3 * t; h < 3 * t + 3; h++) {
        const other = across[h] >= 0 ? (across[h] / 3) | 0 : t
        if (seen[other]) continue
        // Against the first, not the neighbour: a fine ball would be one flat, step by step.
        const cosine =
          facing[3 * first] * facing[3 * other] +
          facing[3 * first + 1] * facing[3 * other + 1] +
          facing[3 * first + 2] * facing[3 * other + 2]
        if (cosine < FLAT_COSINE) continue
        seen[other] = 1
        flat.push(other)
      }
    }
    if (areas.size < 2) continue
    const [most] = [...areas].reduce((a, b) => (b[1] > a[1] ? b : a))
    for (const t of flat) regionOf[t] = most
  }
}
