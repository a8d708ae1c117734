/**
 * Splits a polygon of a file into triangles, in its own winding.
 *
 * Three corners are a triangle; a convex polygon becomes a fan from its first corner; any other is cut ear by ear in
 * the plane of its Newell normal, so that an L-shaped face does not spill over its notch. Where no ear is left (a
 * polygon that crosses itself) or it has more than 512 corners, the rest is a fan.
 * Cost: O(n) for convex ones, O(n²) else.
 * @param corners vertex numbers into `positions` (x y z each)
 * @param emit called n − 2 times, for n ≥ 3
 */
export function splitPolygon(
  positions: { readonly [index: number]: number },
  corners: readonly number[],
  emit: (a: number, b: number, c: number) => void,
): void {
  const n = corners.length
  if (n < 3) return
  if (n === 3) {
    emit(corners[0], corners[1], corners[2])
    return
  }
  const normal = newellNormal(positions, corners)
  const turn = (a: number, b: number, c: number): number => {
    const [i, j, k] = [3 * a, 3 * b, 3 * c]
    const ux = positions[j] - positions[i]
    const uy = positions[j + 1] - positions[i + 1]
    const uz = positions[j + 2] - positions[i + 2]
    const vx = positions[k] - positions[j]
    const vy = positions[k + 1] - positions[j + 1]
    const vz = positions[k + 2] - positions[j + 2]
    return (uy * vz - uz * vy) * normal[0] + (uz * vx - ux * vz) * normal[1] + (ux * vy - uy * vx) * normal[2]
  }
  const convex = corners.every((_, i) => turn(corners[i], corners[(i + 1) % n], corners[(i + 2) % n]) >= 0)
  const left = [...corners]
  while (!convex && n <= 512 && left.length > 3) {
    const ear = left.findIndex((b, i) => {
      const a = left[(i + left.length - 1) % left.length]
      const c = left[(i + 1) % left.length]
      if (!(turn(a, b, c) > 0)) return false
      // Nothing else may stand inside the ear.
      return left.every(
        p => p === a || p === b || p === c || turn(a, b, p) < 0 || turn(b, c, p) < 0 || turn(c, a, p) < 0,
      )
    })
    if (ear < 0) break
    emit(left[(ear + left.length - 1) % left.length], left[ear], left[(ear + 1) % left.length])
    left.splice(ear, 1)
  }
  for (let i = 1; i + 1 < left.length; i++) emit(left[0], left[i], left[i + 1])
}

/** Twice the polygon's area along its mean normal. */
function newellNormal(p: { readonly [index: number]: number }, corners: readonly number[]): [number, number, number] {
  let [x, y, z] = [0, 0, 0]
  const o = 3 * corners[0]
  for (let i = 1; i + 1 < corners.length; i++) {
    const a = 3 * corners[i]
    const b = 3 * corners[i + 1]
    const ux = p[a] - p[o]
    const uy = p[a + 1] - p[o + 1]
    const uz = p[a + 2] - p[o + 2]
    const vx = p[b] - p[o]
    const vy = p[b + 1] - p[o + 1]
    const vz = p[b + 2] - p[o + 2]
    x += uy * vz - uz * vy
    y += uz * vx - ux * vz
    z += ux * vy - uy * vx
  }
  return [x, y, z]
}
