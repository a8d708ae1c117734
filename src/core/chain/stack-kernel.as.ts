// AssemblyScript: the fast twin of plainKernel in stack-kernel.ts; that file says what each step means and why.
// `npm run kernel` compiles it into stack-kernel.generated.ts. Memory is laid out by stack-kernel.ts.

/** Bytes of one table row: A, M, C of 16 bands. */
const ROW: usize = 192

// @ts-ignore: decorator
@inline
function mixed(at: usize, t: v128): v128 {
  const low = v128.load(at)
  return f32x4.add(low, f32x4.mul(t, f32x4.sub(v128.load(at, ROW), low)))
}

// @ts-ignore: decorator
@inline
function sumOf(v: v128): f32 {
  return (
    f32x4.extract_lane(v, 0) + f32x4.extract_lane(v, 1) + (f32x4.extract_lane(v, 2) + f32x4.extract_lane(v, 3))
  )
}

/** Three linear sRGB floats of the stack so far. weights: 3 rows of 16. */
// @ts-ignore: decorator
@inline
function see(
  to: usize,
  weights: usize,
  surface: f32,
  k2: v128,
  p0: v128,
  p1: v128,
  p2: v128,
  p3: v128,
  q0: v128,
  q1: v128,
  q2: v128,
  q3: v128,
): void {
  const u0 = f32x4.div(p0, f32x4.sub(q0, f32x4.mul(k2, p0)))
  const u1 = f32x4.div(p1, f32x4.sub(q1, f32x4.mul(k2, p1)))
  const u2 = f32x4.div(p2, f32x4.sub(q2, f32x4.mul(k2, p2)))
  const u3 = f32x4.div(p3, f32x4.sub(q3, f32x4.mul(k2, p3)))
  for (let c: usize = 0; c < 3; c++) {
    const row = weights + (c << 6)
    const a = f32x4.add(f32x4.mul(v128.load(row), u0), f32x4.mul(v128.load(row, 16), u1))
    const b = f32x4.add(f32x4.mul(v128.load(row, 32), u2), f32x4.mul(v128.load(row, 48), u3))
    store<f32>(to + (c << 2), surface + sumOf(f32x4.add(a, b)))
  }
}

/**
 * @param scales one float a layer: node = √(µm)·scale
 * @param tables one a layer, `tableBytes` apart
 * @param deposits one column a layer, `columnBytes` apart
 * @param readAfter layers after which `early` is written; beyond `layers` it never is
 */
export function run(
  count: i32,
  layers: i32,
  lastNode: i32,
  scales: usize,
  tables: usize,
  tableBytes: usize,
  deposits: usize,
  columnBytes: usize,
  ground: usize,
  weights: usize,
  surface: f32,
  k2: f32,
  readAfter: i32,
  early: usize,
  final: usize,
): void {
  const inner = f32x4.splat(k2)
  const one = f32x4.splat(1)
  const g0 = v128.load(ground)
  const g1 = v128.load(ground, 16)
  const g2 = v128.load(ground, 32)
  const g3 = v128.load(ground, 48)
  for (let v = 0; v < count; v++) {
    let p0 = g0
    let p1 = g1
    let p2 = g2
    let p3 = g3
    let q0 = one
    let q1 = one
    let q2 = one
    let q3 = one
    if (readAfter == 0) see(early + <usize>(12 * v), weights, surface, inner, p0, p1, p2, p3, q0, q1, q2, q3)
    for (let layer = 0; layer < layers; layer++) {
      const um = load<f32>(deposits + columnBytes * <usize>layer + (<usize>v << 2))
      if (um > 0) {
        const place = sqrt<f32>(um) * load<f32>(scales + (<usize>layer << 2))
        let node = <i32>place
        if (node > lastNode - 1) node = lastNode - 1
        const t = f32x4.splat(min<f32>(place - <f32>node, 1))
        const at = tables + tableBytes * <usize>layer + ROW * <usize>node
        let p = p0
        p0 = f32x4.add(f32x4.mul(mixed(at, t), q0), f32x4.mul(mixed(at + 64, t), p))
        q0 = f32x4.sub(q0, f32x4.mul(mixed(at + 128, t), p))
        p = p1
        p1 = f32x4.add(f32x4.mul(mixed(at + 16, t), q1), f32x4.mul(mixed(at + 80, t), p))
        q1 = f32x4.sub(q1, f32x4.mul(mixed(at + 144, t), p))
        p = p2
        p2 = f32x4.add(f32x4.mul(mixed(at + 32, t), q2), f32x4.mul(mixed(at + 96, t), p))
        q2 = f32x4.sub(q2, f32x4.mul(mixed(at + 160, t), p))
        p = p3
        p3 = f32x4.add(f32x4.mul(mixed(at + 48, t), q3), f32x4.mul(mixed(at + 112, t), p))
        q3 = f32x4.sub(q3, f32x4.mul(mixed(at + 176, t), p))
      }
      if (readAfter == layer + 1) see(early + <usize>(12 * v), weights, surface, inner, p0, p1, p2, p3, q0, q1, q2, q3)
    }
    see(final + <usize>(12 * v), weights, surface, inner, p0, p1, p2, p3, q0, q1, q2, q3)
  }
}
