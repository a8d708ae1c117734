// AssemblyScript: the fast twin of plain-depth-kernel.ts; that file says what each step means and why.
// `npm run kernel` compiles it into depth-kernel.generated.ts. Memory is laid out and grown by wasm-depth-kernel.ts.

// Structure of arrays, V + 4 floats each, so that four vertices load at once.
let positionX: usize = 0
let positionY: usize = 0
let positionZ: usize = 0
let normalX: usize = 0
let normalY: usize = 0
let normalZ: usize = 0
/** 3·T uint32. */
let triangles: usize = 0
/** x y z 0 of every vertex, 16 bytes each. */
let screen: usize = 0
let exposure: usize = 0
let visibility: usize = 0
let depth: usize = 0

let perspective: bool = false
let rightX: f32 = 0
let rightY: f32 = 0
let rightZ: f32 = 0
let upX: f32 = 0
let upY: f32 = 0
let upZ: f32 = 0
let towardX: f32 = 0
let towardY: f32 = 0
let towardZ: f32 = 0
let originX: f32 = 0
let originY: f32 = 0
let originZ: f32 = 0
let pixel: f32 = 0
let centreX: f32 = 0
let centreY: f32 = 0
let width: i32 = 0
let height: i32 = 0

let biasPixels: f32 = 0
let biasCurve: f32 = 0
let biasMaxTan2: f32 = 0
let maxSlope: f32 = 0

export function place(
  px: usize, py: usize, pz: usize, nx: usize, ny: usize, nz: usize,
  triangleAt: usize, screenAt: usize, exposureAt: usize, visibilityAt: usize, depthAt: usize,
  pixels: f32, curve: f32, maxTan2: f32, steepest: f32,
): void {
  positionX = px
  positionY = py
  positionZ = pz
  normalX = nx
  normalY = ny
  normalZ = nz
  triangles = triangleAt
  screen = screenAt
  exposure = exposureAt
  visibility = visibilityAt
  depth = depthAt
  biasPixels = pixels
  biasCurve = curve
  biasMaxTan2 = maxTan2
  maxSlope = steepest
}

export function begin(
  isPerspective: bool,
  rx: f32, ry: f32, rz: f32, ux: f32, uy: f32, uz: f32, tx: f32, ty: f32, tz: f32, ox: f32, oy: f32, oz: f32,
  pixelSize: f32, cx: f32, cy: f32, w: i32, h: i32,
): void {
  perspective = isPerspective
  rightX = rx
  rightY = ry
  rightZ = rz
  upX = ux
  upY = uy
  upZ = uz
  towardX = tx
  towardY = ty
  towardZ = tz
  originX = ox
  originY = oy
  originZ = oz
  pixel = pixelSize
  centreX = cx
  centreY = cy
  width = w
  height = h
  // Bytes 0xFE make the float −1.69e38: empty.
  memory.fill(depth, 0xfe, <usize>(w * h + 4) << 2)
}

export function project(first: i32, count: i32): void {
  const scale: f32 = 1 / pixel
  const rx = f32x4.splat(rightX * scale)
  const ry = f32x4.splat(rightY * scale)
  const rz = f32x4.splat(rightZ * scale)
  const ux = f32x4.splat(upX * scale)
  const uy = f32x4.splat(upY * scale)
  const uz = f32x4.splat(upZ * scale)
  const tx = f32x4.splat(towardX)
  const ty = f32x4.splat(towardY)
  const tz = f32x4.splat(towardZ)
  const ox = f32x4.splat(originX)
  const oy = f32x4.splat(originY)
  const oz = f32x4.splat(originZ)
  const cx = f32x4.splat(centreX)
  const cy = f32x4.splat(centreY)
  const zero = f32x4.splat(0)
  const behind = f32x4.splat(-1e-3)
  const minusOne = f32x4.splat(-1)
  const isPerspective = perspective
  let at = <usize>first << 2
  const end = at + (<usize>count << 2)
  let out = screen + (<usize>first << 4)
  // The last step may run up to three vertices over: their places on the screen are not yet, or never, looked at.
  for (; at < end; at += 16) {
    const x = f32x4.sub(v128.load(positionX + at), ox)
    const y = f32x4.sub(v128.load(positionY + at), oy)
    const z = f32x4.sub(v128.load(positionZ + at), oz)
    let sx = f32x4.add(f32x4.add(f32x4.mul(x, rx), f32x4.mul(y, ry)), f32x4.mul(z, rz))
    let sy = f32x4.add(f32x4.add(f32x4.mul(x, ux), f32x4.mul(y, uy)), f32x4.mul(z, uz))
    let sz = f32x4.add(f32x4.add(f32x4.mul(x, tx), f32x4.mul(y, ty)), f32x4.mul(z, tz))
    if (isPerspective) {
      const ahead = f32x4.lt(sz, behind)
      sz = v128.and(f32x4.div(minusOne, sz), ahead)
      sx = v128.and(f32x4.add(f32x4.mul(sx, sz), cx), ahead)
      sy = v128.and(f32x4.add(f32x4.mul(sy, sz), cy), ahead)
    } else {
      sx = f32x4.add(sx, cx)
      sy = f32x4.add(sy, cy)
    }
    const xy01 = v128.shuffle<f32>(sx, sy, 0, 4, 1, 5)
    const xy23 = v128.shuffle<f32>(sx, sy, 2, 6, 3, 7)
    const z01 = v128.shuffle<f32>(sz, zero, 0, 4, 1, 5)
    const z23 = v128.shuffle<f32>(sz, zero, 2, 6, 3, 7)
    v128.store(out, v128.shuffle<f32>(xy01, z01, 0, 1, 4, 5))
    v128.store(out + 16, v128.shuffle<f32>(xy01, z01, 2, 3, 6, 7))
    v128.store(out + 32, v128.shuffle<f32>(xy23, z23, 0, 1, 4, 5))
    v128.store(out + 48, v128.shuffle<f32>(xy23, z23, 2, 3, 6, 7))
    out += 64
  }
}

/** Where `draw` leaves the numbers of four triangles for `drawOne`, a vector each: below all that `place` placed. */
const SETUP: usize = 64

// @ts-ignore: decorator
@inline
function lanesX(t0: v128, t1: v128): v128 {
  return v128.shuffle<f32>(t0, t1, 0, 1, 4, 5)
}

// @ts-ignore: decorator
@inline
function lanesY(t0: v128, t1: v128): v128 {
  return v128.shuffle<f32>(t0, t1, 2, 3, 6, 7)
}

/**
 * Four triangles at a time up to where each is known by its edge functions and its box; then one by one, four pixels at a
 * time. The last four may run over the end: their places hold triangles all the same, and their lanes are dropped.
 */
export function draw(first: i32, count: i32, frontOnly: bool): void {
  const stride = i32x4.splat(width)
  const zero = f32x4.splat(0)
  const half = f32x4.splat(0.5)
  const one = f32x4.splat(1)
  const rim = f32x4.splat(2)
  const rightRim = f32x4.splat(<f32>(width - 3))
  const topRim = f32x4.splat(<f32>(height - 3))
  // Rounding may put a pixel centre outside of both triangles at a shared edge: a thousandth of a pixel closes the crack.
  const crack = f32x4.splat(1e-3)
  const isPerspective = perspective
  const corners = screen
  let t = triangles + <usize>first * 12
  const end = t + <usize>count * 12
  for (; t < end; t += 48) {
    const a0 = v128.load(corners + (<usize>load<u32>(t) << 4))
    const b0 = v128.load(corners + (<usize>load<u32>(t, 4) << 4))
    const c0 = v128.load(corners + (<usize>load<u32>(t, 8) << 4))
    const a1 = v128.load(corners + (<usize>load<u32>(t, 12) << 4))
    const b1 = v128.load(corners + (<usize>load<u32>(t, 16) << 4))
    const c1 = v128.load(corners + (<usize>load<u32>(t, 20) << 4))
    const a2 = v128.load(corners + (<usize>load<u32>(t, 24) << 4))
    const b2 = v128.load(corners + (<usize>load<u32>(t, 28) << 4))
    const c2 = v128.load(corners + (<usize>load<u32>(t, 32) << 4))
    const a3 = v128.load(corners + (<usize>load<u32>(t, 36) << 4))
    const b3 = v128.load(corners + (<usize>load<u32>(t, 40) << 4))
    const c3 = v128.load(corners + (<usize>load<u32>(t, 44) << 4))
    const a01 = v128.shuffle<f32>(a0, a1, 0, 4, 1, 5)
    const a23 = v128.shuffle<f32>(a2, a3, 0, 4, 1, 5)
    const b01 = v128.shuffle<f32>(b0, b1, 0, 4, 1, 5)
    const b23 = v128.shuffle<f32>(b2, b3, 0, 4, 1, 5)
    const c01 = v128.shuffle<f32>(c0, c1, 0, 4, 1, 5)
    const c23 = v128.shuffle<f32>(c2, c3, 0, 4, 1, 5)
    const ax = lanesX(a01, a23)
    const ay = lanesY(a01, a23)
    const bx = lanesX(b01, b23)
    const by = lanesY(b01, b23)
    const cx = lanesX(c01, c23)
    const cy = lanesY(c01, c23)
    let abx = f32x4.sub(bx, ax)
    let aby = f32x4.sub(by, ay)
    let acx = f32x4.sub(cx, ax)
    let acy = f32x4.sub(cy, ay)
    let area = f32x4.sub(f32x4.mul(abx, acy), f32x4.mul(acx, aby))
    let drawn = f32x4.gt(frontOnly ? area : f32x4.abs(area), zero)
    if (!v128.any_true(drawn)) continue
    const leastX = f32x4.pmin(f32x4.pmin(ax, bx), cx)
    const leastY = f32x4.pmin(f32x4.pmin(ay, by), cy)
    const mostX = f32x4.pmax(f32x4.pmax(ax, bx), cx)
    const mostY = f32x4.pmax(f32x4.pmax(ay, by), cy)
    const left = f32x4.pmax(f32x4.ceil(f32x4.sub(leastX, half)), rim)
    const bottom = f32x4.pmax(f32x4.ceil(f32x4.sub(leastY, half)), rim)
    const right = f32x4.pmin(f32x4.floor(f32x4.sub(mostX, half)), rightRim)
    const top = f32x4.pmin(f32x4.floor(f32x4.sub(mostY, half)), topRim)
    // No pixel centre in its box: most triangles of a fine mesh in a coarse buffer.
    drawn = v128.and(drawn, v128.and(f32x4.le(left, right), f32x4.le(bottom, top)))
    const az = lanesX(v128.shuffle<f32>(a0, a1, 2, 6, 3, 7), v128.shuffle<f32>(a2, a3, 2, 6, 3, 7))
    const bz = lanesX(v128.shuffle<f32>(b0, b1, 2, 6, 3, 7), v128.shuffle<f32>(b2, b3, 2, 6, 3, 7))
    const cz = lanesX(v128.shuffle<f32>(c0, c1, 2, 6, 3, 7), v128.shuffle<f32>(c2, c3, 2, 6, 3, 7))
    const lowest = f32x4.pmin(f32x4.pmin(az, bz), cz)
    if (isPerspective) drawn = v128.and(drawn, f32x4.gt(lowest, zero))
    let lanes = i32x4.bitmask(drawn)
    const remaining = <i32>((end - t) / 12)
    if (remaining < 4) lanes &= (1 << remaining) - 1
    if (!lanes) continue

    let abz = f32x4.sub(bz, az)
    let acz = f32x4.sub(cz, az)
    if (!frontOnly) {
      // A back is drawn as the front that it is from behind: b and c change places.
      const back = f32x4.lt(area, zero)
      area = f32x4.abs(area)
      const sx = abx
      const sy = aby
      const sz = abz
      abx = v128.bitselect(acx, abx, back)
      aby = v128.bitselect(acy, aby, back)
      abz = v128.bitselect(acz, abz, back)
      acx = v128.bitselect(sx, acx, back)
      acy = v128.bitselect(sy, acy, back)
      acz = v128.bitselect(sz, acz, back)
    }
    const inverse = f32x4.div(one, area)
    const zx = f32x4.mul(f32x4.sub(f32x4.mul(abz, acy), f32x4.mul(acz, aby)), inverse)
    const zy = f32x4.mul(f32x4.sub(f32x4.mul(acz, abx), f32x4.mul(abz, acx)), inverse)
    const bcx = f32x4.sub(acx, abx)
    const bcy = f32x4.sub(acy, aby)
    // The first pixel, measured from corner a: small numbers, so single precision does.
    const px = f32x4.sub(f32x4.add(left, half), ax)
    const py = f32x4.sub(f32x4.add(bottom, half), ay)
    const slack = f32x4.mul(crack, f32x4.add(f32x4.sub(mostX, leastX), f32x4.sub(mostY, leastY)))
    // Values at the first pixel (edge functions ab, bc, ca, then depth); what a step right and a step up add to them.
    v128.store(SETUP, f32x4.add(f32x4.sub(f32x4.mul(abx, py), f32x4.mul(aby, px)), slack))
    const e1 = f32x4.sub(f32x4.mul(bcx, f32x4.sub(py, aby)), f32x4.mul(bcy, f32x4.sub(px, abx)))
    v128.store(SETUP, f32x4.add(e1, slack), 16)
    v128.store(SETUP, f32x4.add(f32x4.sub(f32x4.mul(acy, px), f32x4.mul(acx, py)), slack), 32)
    v128.store(SETUP, f32x4.add(az, f32x4.add(f32x4.mul(zx, px), f32x4.mul(zy, py))), 48)
    v128.store(SETUP, f32x4.neg(aby), 64)
    v128.store(SETUP, f32x4.neg(bcy), 80)
    v128.store(SETUP, acy, 96)
    v128.store(SETUP, zx, 112)
    v128.store(SETUP, abx, 128)
    v128.store(SETUP, bcx, 144)
    v128.store(SETUP, f32x4.neg(acx), 160)
    v128.store(SETUP, zy, 176)
    // Nearly edge-on triangles have a wild slope: depth stays between their corners.
    v128.store(SETUP, lowest, 192)
    v128.store(SETUP, f32x4.pmax(f32x4.pmax(az, bz), cz), 208)
    // Bytes to the first pixel; pixels and rows beyond it.
    const row = i32x4.mul(i32x4.trunc_sat_f32x4_s(bottom), stride)
    v128.store(SETUP, i32x4.shl(i32x4.add(row, i32x4.trunc_sat_f32x4_s(left)), 2), 224)
    v128.store(SETUP, i32x4.trunc_sat_f32x4_s(f32x4.sub(right, left)), 240)
    v128.store(SETUP, i32x4.trunc_sat_f32x4_s(f32x4.sub(top, bottom)), 256)
    do {
      drawOne(SETUP + (<usize>ctz(lanes) << 2))
      lanes &= lanes - 1
    } while (lanes)
  }
}

// @ts-ignore: decorator
@inline
function drawRow(row: usize, e0: v128, e1: v128, e2: v128, z: v128, lowest: v128, highest: v128): void {
  // Outside becomes a NaN, which `pmax` leaves out.
  const outside = f32x4.lt(f32x4.pmin(f32x4.pmin(e0, e1), e2), f32x4.splat(0))
  v128.store(row, f32x4.pmax(v128.load(row), v128.or(f32x4.pmin(highest, f32x4.pmax(lowest, z)), outside)))
}

/** @param s its lane of what `draw` set up */
// @ts-ignore: decorator
@inline
function drawOne(s: usize): void {
  const lanes = f32x4(0, 1, 2, 3)
  const e0x = v128.load32_splat(s, 64)
  const e1x = v128.load32_splat(s, 80)
  const e2x = v128.load32_splat(s, 96)
  const zx = v128.load32_splat(s, 112)
  const e0y = v128.load32_splat(s, 128)
  const e1y = v128.load32_splat(s, 144)
  const e2y = v128.load32_splat(s, 160)
  const zy = v128.load32_splat(s, 176)
  const lowest = v128.load32_splat(s, 192)
  const highest = v128.load32_splat(s, 208)
  let e0 = f32x4.add(v128.load32_splat(s), f32x4.mul(lanes, e0x))
  let e1 = f32x4.add(v128.load32_splat(s, 16), f32x4.mul(lanes, e1x))
  let e2 = f32x4.add(v128.load32_splat(s, 32), f32x4.mul(lanes, e2x))
  let z = f32x4.add(v128.load32_splat(s, 48), f32x4.mul(lanes, zx))
  const stride = <usize>width << 2
  let row = depth + <usize>load<u32>(s, 224)
  const steps = load<i32>(s, 240)
  let rows = load<i32>(s, 256)
  if (steps < 4) {
    // Three rows at once, wanted or not: a wrong guess where to stop costs the processor more than a row does. Rows
    // above the box lie outside of an edge; the picture has two rows to spare.
    for (; ; rows -= 3) {
      drawRow(row, e0, e1, e2, z, lowest, highest)
      e0 = f32x4.add(e0, e0y)
      e1 = f32x4.add(e1, e1y)
      e2 = f32x4.add(e2, e2y)
      z = f32x4.add(z, zy)
      row += stride
      drawRow(row, e0, e1, e2, z, lowest, highest)
      e0 = f32x4.add(e0, e0y)
      e1 = f32x4.add(e1, e1y)
      e2 = f32x4.add(e2, e2y)
      z = f32x4.add(z, zy)
      row += stride
      drawRow(row, e0, e1, e2, z, lowest, highest)
      if (rows < 3) return
      e0 = f32x4.add(e0, e0y)
      e1 = f32x4.add(e1, e1y)
      e2 = f32x4.add(e2, e2y)
      z = f32x4.add(z, zy)
      row += stride
    }
  }
  const zero = f32x4.splat(0)
  const four = f32x4.splat(4)
  const e0four = f32x4.mul(four, e0x)
  const e1four = f32x4.mul(four, e1x)
  const e2four = f32x4.mul(four, e2x)
  const zFour = f32x4.mul(four, zx)
  for (; rows >= 0; rows--) {
    let f0 = e0
    let f1 = e1
    let f2 = e2
    let g = z
    let at = row
    for (let x = 0; x <= steps; x += 4) {
      const outside = f32x4.lt(f32x4.pmin(f32x4.pmin(f0, f1), f2), zero)
      if (!i32x4.all_true(outside)) {
        v128.store(at, f32x4.pmax(v128.load(at), v128.or(f32x4.pmin(highest, f32x4.pmax(lowest, g)), outside)))
      }
      f0 = f32x4.add(f0, e0four)
      f1 = f32x4.add(f1, e1four)
      f2 = f32x4.add(f2, e2four)
      g = f32x4.add(g, zFour)
      at += 16
    }
    e0 = f32x4.add(e0, e0y)
    e1 = f32x4.add(e1, e1y)
    e2 = f32x4.add(e2, e2y)
    z = f32x4.add(z, zy)
    row += stride
  }
}

// @ts-ignore: decorator
@inline
function visibleShare(vertex: usize, nx: f32, ny: f32, nz: f32): f32 {
  const s = screen + (vertex << 4)
  const sx = load<f32>(s) - <f32>0.5
  const sy = load<f32>(s, 4) - <f32>0.5
  const sz = load<f32>(s, 8)
  const floorX = floor<f32>(sx)
  const floorY = floor<f32>(sy)
  const x = <i32>floorX
  const y = <i32>floorY
  if (x < 1 || y < 1 || x > width - 3 || y > height - 3) return 1
  let cosGamma: f32
  let unit: f32
  if (perspective) {
    const px = originX - load<f32>(positionX + (vertex << 2))
    const py = originY - load<f32>(positionY + (vertex << 2))
    const pz = originZ - load<f32>(positionZ + (vertex << 2))
    cosGamma = (nx * px + ny * py + nz * pz) * sz
    unit = pixel * sz
  } else {
    cosGamma = nx * towardX + ny * towardY + nz * towardZ
    unit = pixel
  }
  const inverse: f32 = -1 / max<f32>(cosGamma, 1e-6)
  const tanX = (nx * rightX + ny * rightY + nz * rightZ) * inverse
  const tanY = (nx * upX + ny * upY + nz * upZ) * inverse
  const tan2 = tanX * tanX + tanY * tanY
  let slopeX = tanX * unit
  let slopeY = tanY * unit
  if (tan2 > maxSlope * maxSlope) {
    const keep = maxSlope / sqrt<f32>(tan2)
    slopeX *= keep
    slopeY *= keep
  }
  const u = sx - floorX
  const v = sy - floorY
  const at = depth + (<usize>(y * width + x) << 2)
  const above = at + (<usize>width << 2)
  const limit = sz + unit * (biasPixels + biasCurve * min<f32>(tan2, biasMaxTan2)) - slopeX * u - slopeY * v
  let share: f32 = 0
  if (load<f32>(at) <= limit) share += (1 - u) * (1 - v)
  if (load<f32>(at, 4) <= limit + slopeX) share += u * (1 - v)
  if (load<f32>(above) <= limit + slopeY) share += (1 - u) * v
  if (load<f32>(above, 4) <= limit + slopeX + slopeY) share += u * v
  return min<f32>(1, max<f32>(0, 2 * share - <f32>0.5))
}

// @ts-ignore: decorator
@inline
function addOne(vertex: usize, weight: f32): void {
  const nx = load<f32>(normalX + (vertex << 2))
  const ny = load<f32>(normalY + (vertex << 2))
  const nz = load<f32>(normalZ + (vertex << 2))
  const cosGamma = nx * towardX + ny * towardY + nz * towardZ
  if (cosGamma > 0) {
    const at = exposure + (vertex << 2)
    store<f32>(at, load<f32>(at) + weight * cosGamma * visibleShare(vertex, nx, ny, nz))
  }
}

/** Four vertices at a time; the same steps as `visibleShare` of a parallel view. */
export function addParallel(first: i32, count: i32, weight: f32): void {
  const tx = f32x4.splat(towardX)
  const ty = f32x4.splat(towardY)
  const tz = f32x4.splat(towardZ)
  const rx = f32x4.splat(rightX)
  const ry = f32x4.splat(rightY)
  const rz = f32x4.splat(rightZ)
  const ux = f32x4.splat(upX)
  const uy = f32x4.splat(upY)
  const uz = f32x4.splat(upZ)
  const zero = f32x4.splat(0)
  const one = f32x4.splat(1)
  const half = f32x4.splat(0.5)
  const least = f32x4.splat(1e-6)
  const most = f32x4.splat(biasMaxTan2)
  const maxTan = f32x4.splat(maxSlope)
  const unit = f32x4.splat(pixel)
  const still = f32x4.splat(biasPixels)
  const curve = f32x4.splat(biasCurve)
  const weights = f32x4.splat(weight)
  const stride = i32x4.splat(width)
  const firstPixel = i32x4.splat(1)
  const lastX = i32x4.splat(width - 3)
  const lastY = i32x4.splat(height - 3)
  const rowBytes = <usize>width << 2
  let vertex = <usize>first
  const end = vertex + <usize>count
  for (; vertex + 4 <= end; vertex += 4) {
    const four = vertex << 2
    const nx = v128.load(normalX + four)
    const ny = v128.load(normalY + four)
    const nz = v128.load(normalZ + four)
    const cosGamma = f32x4.add(f32x4.add(f32x4.mul(nx, tx), f32x4.mul(ny, ty)), f32x4.mul(nz, tz))
    const facing = f32x4.gt(cosGamma, zero)
    if (!v128.any_true(facing)) continue

    const s = screen + (vertex << 4)
    const s0 = v128.load(s)
    const s1 = v128.load(s, 16)
    const s2 = v128.load(s, 32)
    const s3 = v128.load(s, 48)
    const xy01 = v128.shuffle<f32>(s0, s1, 0, 4, 1, 5)
    const xy23 = v128.shuffle<f32>(s2, s3, 0, 4, 1, 5)
    const sx = f32x4.sub(v128.shuffle<f32>(xy01, xy23, 0, 1, 4, 5), half)
    const sy = f32x4.sub(v128.shuffle<f32>(xy01, xy23, 2, 3, 6, 7), half)
    const sz = v128.shuffle<f32>(v128.shuffle<f32>(s0, s1, 2, 6, 2, 6), v128.shuffle<f32>(s2, s3, 2, 6, 2, 6), 0, 1, 4, 5)
    const floorX = f32x4.floor(sx)
    const floorY = f32x4.floor(sy)
    const u = f32x4.sub(sx, floorX)
    const v = f32x4.sub(sy, floorY)
    // The picture is fitted to the figure with a rim, so the clamp only keeps bad numbers inside of memory.
    const x = i32x4.min_s(i32x4.max_s(i32x4.trunc_sat_f32x4_s(floorX), firstPixel), lastX)
    const y = i32x4.min_s(i32x4.max_s(i32x4.trunc_sat_f32x4_s(floorY), firstPixel), lastY)
    const at = i32x4.shl(i32x4.add(i32x4.mul(y, stride), x), 2)
    const p0 = depth + <usize>i32x4.extract_lane(at, 0)
    const p1 = depth + <usize>i32x4.extract_lane(at, 1)
    const p2 = depth + <usize>i32x4.extract_lane(at, 2)
    const p3 = depth + <usize>i32x4.extract_lane(at, 3)
    const below01 = v128.shuffle<f32>(v128.load64_zero(p0), v128.load64_zero(p1), 0, 4, 1, 5)
    const below23 = v128.shuffle<f32>(v128.load64_zero(p2), v128.load64_zero(p3), 0, 4, 1, 5)
    const above01 = v128.shuffle<f32>(v128.load64_zero(p0 + rowBytes), v128.load64_zero(p1 + rowBytes), 0, 4, 1, 5)
    const above23 = v128.shuffle<f32>(v128.load64_zero(p2 + rowBytes), v128.load64_zero(p3 + rowBytes), 0, 4, 1, 5)

    const inverse = f32x4.div(one, f32x4.pmax(cosGamma, least))
    const nRight = f32x4.add(f32x4.add(f32x4.mul(nx, rx), f32x4.mul(ny, ry)), f32x4.mul(nz, rz))
    const nUp = f32x4.add(f32x4.add(f32x4.mul(nx, ux), f32x4.mul(ny, uy)), f32x4.mul(nz, uz))
    const tanX = f32x4.neg(f32x4.mul(nRight, inverse))
    const tanY = f32x4.neg(f32x4.mul(nUp, inverse))
    const tan2 = f32x4.pmin(f32x4.splat(1e12), f32x4.add(f32x4.mul(tanX, tanX), f32x4.mul(tanY, tanY)))
    const keep = f32x4.mul(unit, f32x4.pmin(one, f32x4.div(maxTan, f32x4.sqrt(f32x4.pmax(tan2, least)))))
    const slopeX = f32x4.mul(tanX, keep)
    const slopeY = f32x4.mul(tanY, keep)
    const bias = f32x4.mul(unit, f32x4.add(still, f32x4.mul(curve, f32x4.pmin(tan2, most))))
    const here = f32x4.sub(f32x4.sub(f32x4.add(sz, bias), f32x4.mul(slopeX, u)), f32x4.mul(slopeY, v))
    const across = f32x4.add(here, slopeX)
    const u1 = f32x4.sub(one, u)
    const v1 = f32x4.sub(one, v)
    const hereUp = f32x4.add(here, slopeY)
    const acrossUp = f32x4.add(across, slopeY)
    const d00 = v128.shuffle<f32>(below01, below23, 0, 1, 4, 5)
    const d10 = v128.shuffle<f32>(below01, below23, 2, 3, 6, 7)
    const d01 = v128.shuffle<f32>(above01, above23, 0, 1, 4, 5)
    const d11 = v128.shuffle<f32>(above01, above23, 2, 3, 6, 7)
    const low = f32x4.add(v128.and(f32x4.le(d00, here), u1), v128.and(f32x4.le(d10, across), u))
    const up = f32x4.add(v128.and(f32x4.le(d01, hereUp), u1), v128.and(f32x4.le(d11, acrossUp), u))
    const soft = f32x4.add(f32x4.mul(low, v1), f32x4.mul(up, v))
    const share = f32x4.pmin(one, f32x4.pmax(zero, f32x4.sub(f32x4.add(soft, soft), half)))
    const gain = v128.and(f32x4.mul(f32x4.mul(weights, cosGamma), share), facing)
    v128.store(exposure + four, f32x4.add(v128.load(exposure + four), gain))
  }
  for (; vertex < end; vertex++) addOne(vertex, weight)
}

export function findVisibility(first: i32, count: i32): void {
  const end = <usize>first + <usize>count
  for (let vertex = <usize>first; vertex < end; vertex++) {
    const nx = load<f32>(normalX + (vertex << 2))
    const ny = load<f32>(normalY + (vertex << 2))
    const nz = load<f32>(normalZ + (vertex << 2))
    store<f32>(visibility + (vertex << 2), visibleShare(vertex, nx, ny, nz))
  }
}
