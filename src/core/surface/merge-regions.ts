import type { SurfaceEdges } from './surface-edges.ts'

export interface MergeRules {
  /** Two regions stay apart where their border turns this much more than the rougher of them does within, radians. */
  readonly creaseRadians: number
  /** Smaller ones go to the neighbour with the longest common border. */
  readonly leastAreaMm2: number
}

/**
 * Cuts a surface into regions along its creases: a watershed over the crease angles, whose basins are joined, the
 * faintest border first. A border is judged as a whole, by its mean, so that a crease which fades at one end still
 * parts what it parts; and against what goes on within, so that a small ball or a coat of mail is one region although
 * it turns everywhere.
 * Source of joining a watershed's basins by their borders: Mangan & Whitaker, IEEE TVCG 5(4), 1999; the measure is ours.
 * @param angles 3·T, of every directed edge, radians
 * @param lengthsMm 3·T
 * @returns region of every triangle, numbered from 0 in order of first appearance
 */
export function mergeRegions(
  surface: SurfaceEdges,
  angles: Float32Array,
  lengthsMm: Float32Array,
  rules: MergeRules,
): Uint32Array {
  const basins = watershed(surface, angles)
  const regions = new Regions(basins.regionOf, basins.count, surface, angles, lengthsMm)
  const isFaint = (a: number, b: number) => regions.excessRadians(a, b) < rules.creaseRadians
  const faint = new Heap()
  const consider = (region: number) => {
    for (const other of regions.neighbours(region))
      if (isFaint(region, other)) faint.push(regions.excessRadians(region, other), region, other)
  }
  const joinFaint = () => {
    for (let next = faint.pop(); next; next = faint.pop()) {
      const [a, b] = [regions.now(next.a), regions.now(next.b)]
      if (a === b) continue
      const excess = regions.excessRadians(a, b)
      // Either side may have grown since: then this border waits its turn.
      if (excess > next.key) {
        if (excess < rules.creaseRadians) faint.push(excess, a, b)
        continue
      }
      const { kept, moved } = regions.join(a, b)
      for (const other of moved) if (isFaint(kept, other)) faint.push(regions.excessRadians(kept, other), kept, other)
    }
  }
  /** Until no border is faint: a region that has become rougher makes its other borders fainter. */
  const settle = () => {
    for (let before = -1; before !== regions.count; ) {
      before = regions.count
      for (const region of regions.all()) consider(region)
      joinFaint()
    }
  }
  settle()
  const small = new Heap()
  const considerSize = (region: number) => {
    if (regions.areaMm2(region) < rules.leastAreaMm2) small.push(regions.areaMm2(region), region, region)
  }
  for (const region of regions.all()) considerSize(region)
  for (let next = small.pop(); next; next = small.pop()) {
    const region = regions.now(next.a)
    if (region !== next.a || regions.areaMm2(region) > next.key) continue
    const into = regions.longestBorder(region)
    if (into === null) continue
    const { kept } = regions.join(region, into)
    considerSize(kept)
  }
  // What is made of small pieces is rough within, and may be one with what lies beside it.
  settle()
  return numbered(basins.regionOf, region => regions.now(region))
}

/** Every triangle with the neighbour across its flattest edge: a basin hangs together without climbing. */
function watershed({ across }: SurfaceEdges, angles: Float32Array): { regionOf: Uint32Array; count: number } {
  const triangles = across.length / 3
  const parent = Uint32Array.from({ length: triangles }, (_, t) => t)
  const rootOf = (t: number): number => {
    while (parent[t] !== t) t = parent[t] = parent[parent[t]]
    return t
  }
  for (let t = 0; t < triangles; t++) {
    let best = -1
    for (let h = 3 * t; h < 3 * t + 3; h++) if (across[h] >= 0 && (best < 0 || angles[h] < angles[best])) best = h
    if (best < 0) continue
    const a = rootOf(t)
    const b = rootOf((across[best] / 3) | 0)
    if (a < b) parent[b] = a
    else parent[a] = b
  }
  const regionOf = numbered(parent, rootOf)
  return { regionOf, count: regionOf.reduce((most, r) => Math.max(most, r + 1), 0) }
}

function numbered(of: Uint32Array, rootOf: (i: number) => number): Uint32Array {
  const numbers = new Map<number, number>()
  return of.map(i => {
    const root = rootOf(i)
    const known = numbers.get(root)
    if (known !== undefined) return known
    numbers.set(root, numbers.size)
    return numbers.size - 1
  })
}

const BINS = 36
const binOf = (radians: number): number => Math.min(BINS - 1, Math.floor((radians / Math.PI) * BINS) || 0)

interface Border {
  lengthMm: number
  /** Σ length · angle. */
  turned: number
}

/** Regions that are joined two by two, with what lies between them and within them. */
class Regions {
  count: number
  readonly #parent: Uint32Array
  readonly #areaMm2: Float64Array
  /** BINS a region: length of the edges within by how much the surface turns at them, mm. */
  readonly #within: Float32Array
  readonly #roughness: Float32Array
  readonly #borders: Map<number, Border>[]

  constructor(
    regionOf: Uint32Array,
    count: number,
    { across, areasMm2 }: SurfaceEdges,
    angles: Float32Array,
    lengthsMm: Float32Array,
  ) {
    this.count = count
    this.#parent = Uint32Array.from({ length: count }, (_, r) => r)
    this.#areaMm2 = new Float64Array(count)
    this.#within = new Float32Array(BINS * count)
    this.#borders = Array.from({ length: count }, () => new Map())
    regionOf.forEach((region, t) => {
      this.#areaMm2[region] += areasMm2[t]
    })
    for (let h = 0; h < across.length; h++) {
      if (across[h] < h) continue
      const a = regionOf[(h / 3) | 0]
      const b = regionOf[(across[h] / 3) | 0]
      if (a === b) {
        this.#within[BINS * a + binOf(angles[h])] += lengthsMm[h]
        continue
      }
      let border = this.#borders[a].get(b)
      if (!border) {
        border = { lengthMm: 0, turned: 0 }
        this.#borders[a].set(b, border)
        this.#borders[b].set(a, border)
      }
      border.lengthMm += lengthsMm[h]
      border.turned += lengthsMm[h] * angles[h]
    }
    this.#roughness = Float32Array.from({ length: count }, (_, region) => this.#findRoughness(region))
  }

  /** The region that this one has become a part of. */
  now(region: number): number {
    const parent = this.#parent
    while (parent[region] !== region) region = parent[region] = parent[parent[region]]
    return region
  }

  *all(): Iterable<number> {
    for (let region = 0; region < this.#parent.length; region++) if (this.#parent[region] === region) yield region
  }

  neighbours = (region: number): Iterable<number> => this.#borders[region].keys()

  areaMm2 = (region: number): number => this.#areaMm2[region]

  /** What half of the length within turns less than, radians. */
  #findRoughness(region: number): number {
    const first = BINS * region
    let half = 0
    for (let bin = 0; bin < BINS; bin++) half += this.#within[first + bin] / 2
    if (!(half > 0)) return 0
    let bin = 0
    while (bin < BINS - 1 && half > this.#within[first + bin]) half -= this.#within[first + bin++]
    return ((bin + half / this.#within[first + bin]) * Math.PI) / BINS
  }

  excessRadians(a: number, b: number): number {
    const { turned, lengthMm } = this.#borders[a].get(b)!
    if (!(lengthMm > 0)) return 0
    return turned / lengthMm - Math.max(this.#roughness[a], this.#roughness[b])
  }

  longestBorder(region: number): number | null {
    let longest: number | null = null
    let mostMm = -1
    for (const [other, { lengthMm }] of this.#borders[region]) {
      // Order of the map depends on what was joined when: the lower number settles ties.
      if (lengthMm < mostMm || (lengthMm === mostMm && other > longest!)) continue
      longest = other
      mostMm = lengthMm
    }
    return longest
  }

  /** @returns the region both are now, and the neighbours whose border to it has changed */
  join(a: number, b: number): { kept: number; moved: number[] } {
    const [kept, gone] = this.#borders[a].size >= this.#borders[b].size ? [a, b] : [b, a]
    const between = this.#borders[kept].get(gone)!
    this.#borders[kept].delete(gone)
    const moved: number[] = []
    for (const [other, border] of this.#borders[gone]) {
      if (other === kept) continue
      this.#borders[other].delete(gone)
      const known = this.#borders[kept].get(other)
      if (known) {
        known.lengthMm += border.lengthMm
        known.turned += border.turned
      } else {
        this.#borders[kept].set(other, border)
        this.#borders[other].set(kept, border)
      }
      moved.push(other)
    }
    this.#borders[gone].clear()
    this.#parent[gone] = kept
    this.#areaMm2[kept] += this.#areaMm2[gone]
    for (let bin = 0; bin < BINS; bin++) this.#within[BINS * kept + bin] += this.#within[BINS * gone + bin]
    this.#within[BINS * kept + binOf(between.turned / between.lengthMm)] += between.lengthMm
    this.#roughness[kept] = this.#findRoughness(kept)
    this.count--
    return { kept, moved }
  }
}

/** The entry with the least key comes first. */
class Heap {
  readonly #entries: { key: number; a: number; b: number }[] = []

  push(key: number, a: number, b: number): void {
    const entries = this.#entries
    const entry = { key, a, b }
    let i = entries.length
    entries.push(entry)
    for (let up = (i - 1) >> 1; i > 0 && entries[up].key > key; i = up, up = (i - 1) >> 1) entries[i] = entries[up]
    entries[i] = entry
  }

  pop(): { readonly key: number; readonly a: number; readonly b: number } | undefined {
    const entries = this.#entries
    const first = entries[0]
    const last = entries.pop()
    if (!last || entries.length === 0) return first
    let i = 0
    for (let down = 1; down < entries.length; down = 2 * i + 1) {
      if (down + 1 < entries.length && entries[down + 1].key < entries[down].key) down++
      if (entries[down].key >= last.key) break
      entries[i] = entries[down]
      i = down
    }
    entries[i] = last
    return first
  }
}
