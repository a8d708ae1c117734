import { sheet, type TestPiece } from '../spray/test-figures.ts'
import type { Vec3 } from '../vec3.ts'

/** A box, every face a sheet of its own with its own fineness, in the order −x, +x, −y, +y, −z, +z. For tests. */
export function boxOfSheets(middle: Vec3, size: Vec3, fineness: readonly number[]): TestPiece {
  const positions: number[] = []
  const normals: number[] = []
  const triangles: number[] = []
  for (let face = 0; face < 6; face++) {
    const axis = face >> 1
    const side = face % 2 === 0 ? -1 : 1
    const b = (axis + 1) % 3
    const c = (axis + 2) % 3
    const normal = [0, 0, 0]
    normal[axis] = side
    const n = fineness[face]
    const piece = sheet(
      n,
      n,
      (u, v) => {
        const p = [...middle]
        p[axis] += (side * size[axis]) / 2
        p[b] += side * (u - 0.5) * size[b]
        p[c] += (v - 0.5) * size[c]
        return p as unknown as Vec3
      },
      () => normal as unknown as Vec3,
    )
    for (const t of piece.triangles) triangles.push(t + positions.length / 3)
    positions.push(...piece.positions)
    normals.push(...piece.normals!)
  }
  return { positions, normals, triangles }
}
