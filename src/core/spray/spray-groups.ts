import type { Figure } from '../mesh/figure.ts'
import type { PartId, PartState } from '../recipe/recipe.ts'

export type Box = Figure['box']

/** Parts that stand together while they are sprayed. */
export interface SprayGroup {
  readonly box: Box
  readonly ranges: readonly GroupRange[]
}

export interface GroupRange {
  readonly firstVertex: number
  readonly vertexCount: number
  readonly firstTriangle: number
  readonly triangleCount: number
  readonly closed: boolean
}

/** One group of all parts that are 'on', then one of each that is 'apart'; parts not named are 'on'. */
export function groupsOf(
  figure: Figure,
  partStates: Readonly<Record<PartId, PartState>>,
  closed: readonly boolean[],
): SprayGroup[] {
  const together: GroupRange[] = []
  const groups: SprayGroup[] = []
  figure.parts.forEach((part, i) => {
    const { firstVertex, vertexCount, firstTriangle, triangleCount } = part
    const range = { firstVertex, vertexCount, firstTriangle, triangleCount, closed: closed[i] }
    const state = partStates[part.id] ?? 'on'
    if (state === 'on') together.push(range)
    else if (state === 'apart') groups.push({ ranges: [range], box: boxOf(figure, [range]) })
  })
  if (together.length > 0) groups.unshift({ ranges: together, box: boxOf(figure, together) })
  return groups
}

function boxOf({ positions }: Figure, ranges: readonly GroupRange[]): Box {
  const box: [number, number, number, number, number, number] = [
    Infinity,
    Infinity,
    Infinity,
    -Infinity,
    -Infinity,
    -Infinity,
  ]
  for (const { firstVertex, vertexCount, triangleCount } of ranges) {
    // What has no triangles hides nothing: outside of the picture it is seen.
    if (triangleCount === 0) continue
    for (let i = 3 * firstVertex, end = 3 * (firstVertex + vertexCount); i < end; i++) {
      const axis = i % 3
      const value = positions[i]
      if (value < box[axis]) box[axis] = value
      if (value > box[axis + 3]) box[axis + 3] = value
    }
  }
  return box
}
