import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { film, opaqueReflectance, over } from './kubelka-munk.ts'

const overBacking = (k: number, s: number, x: number, backing: number) => over(film(k, s, x), backing)

/** The textbook form with coth, Kubelka 1948; another arrangement of the same theory. */
function textbook(k: number, s: number, x: number, backing: number): number {
  const a = 1 + k / s
  const b = Math.sqrt(a * a - 1)
  const coth = 1 / Math.tanh(b * s * x)
  return (1 - backing * (a - b * coth)) / (a - backing + b * coth)
}

describe('published numbers', () => {
  /** A worked test of another program: repository lindemeier/painty, test of its Kubelka-Munk compositing (6 digits). */
  test.each([
    [0.2, 0.124, 0.65, 0.541596],
    [0.1, 0.658, 0.2, 0.343822],
    [0.22, 0.123, 0.2146, 0.206651],
    [0.2, 0, 0.65, 0.532174997],
  ])('K %f, S %f, half a unit thick, over %f', (k, s, backing, expected) => {
    expect(overBacking(k, s, 0.5, backing)).toBeCloseTo(expected, 6)
  })

  /** Curtis et al., Computer-Generated Watercolor, SIGGRAPH 1997: 'rose', red and green band; reflectances by coth form. */
  test.each([
    [0.22, 0.05, 0.038659, 0.646119],
    [1.47, 0.003, 0.000965, 0.053565],
  ])('K %f, S %f over black and white', (k, s, black, white) => {
    expect(overBacking(k, s, 1, 0)).toBeCloseTo(black, 5)
    expect(overBacking(k, s, 1, 1)).toBeCloseTo(white, 5)
  })
})

describe('closed forms', () => {
  test.each([
    [0.01, 0.86822553],
    [0.05, 0.72984379],
    [0.1, 0.64174243],
    [0.5, 0.38196601],
    [1, 2 - Math.sqrt(3)],
    [2, 3 - 2 * Math.SQRT2],
    [10, 0.04554885],
  ])('opaque at K/S %f: 1 + K/S − √((K/S)² + 2K/S)', (ratio, expected) => {
    expect(opaqueReflectance(ratio * 0.37, 0.37)).toBeCloseTo(expected, 8)
    expect(overBacking(ratio * 0.37, 0.37, 1e5, 0.83)).toBeCloseTo(expected, 8)
  })

  test('pure scatter: SX/(1 + SX), T = 1/(1 + SX)', () => {
    expect(film(0, 0.25, 4)).toEqual({ reflectance: 0.5, transmittance: 0.5 })
    expect(film(0, 3, 3).reflectance).toBeCloseTo(0.9, 14)
    expect(film(0, 3, 3).transmittance).toBeCloseTo(0.1, 14)
    expect(overBacking(0, 0.25, 4, 0.8)).toBeCloseTo(5 / 6, 14)
  })

  test('pure absorption: Beer-Lambert, in and out', () => {
    expect(overBacking(Math.LN2 / 3, 0, 3, 1)).toBeCloseTo(0.25, 14)
    expect(overBacking(0.013, 0, 2.5, 0.6)).toBeCloseTo(0.6 * Math.exp(-0.065), 10)
  })

  test('nothing at all shows the backing', () => {
    expect(overBacking(0, 0, 0, 0.37)).toBe(0.37)
    expect(overBacking(0.4, 0.7, 0, 0.37)).toBe(0.37)
    expect(overBacking(0, 0, 12, 0.37)).toBe(0.37)
  })

  test('hyperbolic form at K = S = X = 1, and at K 0.2, S 1.5, X 0.7', () => {
    expect(film(1, 1, 1).reflectance).toBeCloseTo(0.260146717, 9)
    expect(film(1, 1, 1).transmittance).toBeCloseTo(0.1645887185, 10)
    expect(overBacking(1, 1, 1, 0.5)).toBeCloseTo(0.2757166772, 10)
    expect(film(0.2, 1.5, 0.7).reflectance).toBeCloseTo(0.4580330136, 10)
    expect(film(0.2, 1.5, 0.7).transmittance).toBeCloseTo(0.4142294985, 10)
    expect(overBacking(0.2, 1.5, 0.7, 1)).toBeCloseTo(0.7746317765, 10)
  })

  test('three films on one another', () => {
    const stages: number[] = []
    let backing = 0.05
    for (const [k, s, x] of [
      [0.0005, 0.45, 2],
      [1.2, 0.05, 1],
      [0.02, 0.3, 3],
    ]) {
      backing = overBacking(k, s, x, backing)
      stages.push(backing)
    }
    for (const [i, expected] of [0.487439344, 0.058786931, 0.465284939].entries())
      expect(stages[i], `film ${i}`).toBeCloseTo(expected, 9)
  })

  /** ISO 9416 (paper): s and k from R0 and R∞; the expression is from memory, and must return what went in. */
  test('paper of s 30, k 2 m²/kg at 0.08 kg/m²', () => {
    const r0 = film(2, 30, 0.08).reflectance
    const rInfinity = opaqueReflectance(2, 30)
    expect(r0).toBeCloseTo(0.62967, 6)
    expect(rInfinity).toBeCloseTo(0.695482, 6)
    expect(r0 / overBacking(2, 30, 0.08, 0.89)).toBeCloseTo(0.853959, 6)
    const s =
      (1 / (0.08 * (1 / rInfinity - rInfinity))) * Math.log(((1 - r0 * rInfinity) * rInfinity) / (rInfinity - r0))
    expect(s).toBeCloseTo(30, 9)
    expect((s * (1 - rInfinity) ** 2) / (2 * rInfinity)).toBeCloseTo(2, 9)
  })

  /** ISO 6504-1 type contrast ratio of 98 % over black and 0.80, without the surface: root of 0.004x² + 0.02x = 0.784. */
  test('hiding of 98 % without the surface', () => {
    expect(hidingSx(1)).toBeCloseTo((-0.02 + Math.sqrt(0.02 ** 2 + 4 * 0.004 * 0.784)) / 0.008, 6)
    for (const [rInfinity, expected] of [
      [0.95, 10.8089],
      [0.9, 9.1427],
      [0.8, 6.5007],
      [0.7, 4.8381],
    ])
      expect(hidingSx(rInfinity), `R∞ ${rInfinity}`).toBeCloseTo(expected, 3)
  })

  function hidingSx(rInfinity: number): number {
    const k = (1 - rInfinity) ** 2 / (2 * rInfinity)
    let [low, high] = [0.1, 100]
    for (let i = 0; i < 80; i++) {
      const sx = (low + high) / 2
      if (film(k, 1, sx).reflectance / overBacking(k, 1, sx, 0.8) < 0.98) low = sx
      else high = sx
    }
    return low
  }
})

const per = fc.double({ min: 0, max: 20, noNaN: true })
const micrometres = fc.double({ min: 0, max: 500, noNaN: true })
const share = fc.double({ min: 0, max: 1, noNaN: true })
/** Where the textbook form, which loses digits as b → 0, is itself good to 1e-9. */
const usual = fc.tuple(
  fc.double({ min: 1e-3, max: 5, noNaN: true }),
  fc.double({ min: 1e-3, max: 5, noNaN: true }),
  fc.double({ min: 0.01, max: 50, noNaN: true }),
  share,
)
const runs = { seed: 20_250_311, numRuns: 2000 }

/** None, next to none, usual, the most whose square is still a number. */
const corners = [0, Number.MIN_VALUE, 1, 1e150]

describe('laws', () => {
  test('agrees with the textbook form', () => {
    fc.assert(
      fc.property(usual, ([k, s, x, backing]) => {
        expect(Math.abs(overBacking(k, s, x, backing) - textbook(k, s, x, backing))).toBeLessThan(1e-9)
      }),
      runs,
    )
  })

  test('energy: nothing is negative, and no more comes out than went in', () => {
    fc.assert(
      fc.property(per, per, micrometres, share, (k, s, x, backing) => {
        const { reflectance: r, transmittance: t } = film(k, s, x)
        expect(r).toBeGreaterThanOrEqual(0)
        expect(t).toBeGreaterThanOrEqual(0)
        expect(r + t).toBeLessThanOrEqual(1 + 1e-12)
        const all = overBacking(k, s, x, backing)
        expect(all).toBeGreaterThanOrEqual(0)
        expect(all).toBeLessThanOrEqual(1 + 1e-12)
      }),
      runs,
    )
  })

  test('thicker is nearer to the opaque colour, from either side', () => {
    fc.assert(
      fc.property(per, per, micrometres, share, share, (k, s, x, part, backing) => {
        const away = (thickness: number) => Math.abs(overBacking(k, s, thickness, backing) - opaqueReflectance(k, s))
        expect(away(x)).toBeLessThanOrEqual(away(part * x) + 1e-9)
      }),
      runs,
    )
  })

  test('a film may be split', () => {
    fc.assert(
      fc.property(per, per, micrometres, share, share, (k, s, x, part, backing) => {
        const twice = overBacking(k, s, (1 - part) * x, overBacking(k, s, part * x, backing))
        expect(Math.abs(twice - overBacking(k, s, x, backing))).toBeLessThan(1e-9)
      }),
      runs,
    )
  })

  test('splitting a film changes neither R nor T (K 0.3, S 2: 0.4 + 0.6 = 1)', () => {
    const [a, b] = [film(0.3, 2, 0.4), film(0.3, 2, 0.6)]
    const between = 1 - a.reflectance * b.reflectance
    expect(over(a, b.reflectance)).toBeCloseTo(0.540972628, 9)
    expect((a.transmittance * b.transmittance) / between).toBeCloseTo(0.2200325881, 10)
    expect(film(0.3, 2, 1).reflectance).toBeCloseTo(0.540972628, 9)
    expect(film(0.3, 2, 1).transmittance).toBeCloseTo(0.2200325881, 10)
  })

  test('order matters: blue on white is not white on blue', () => {
    const [white, blue] = [film(0.0005, 0.45, 3), film(1.2, 0.05, 1)]
    expect(Math.abs(over(white, over(blue, 0.05)) - over(blue, over(white, 0.05)))).toBeGreaterThan(0.3)
  })

  /**
   * Two films change places over black: a = 1 + K/S = (1 + R² − T²)/2R of each (Kubelka 1948), put into R₁ + T₁²R₂/(1 − R₁R₂)
   * and its mirror, leaves this. So only films of one K/S may change places.
   */
  test('order matters by 2R₁R₂(K₂/S₂ − K₁/S₁)/(1 − R₁R₂)', () => {
    fc.assert(
      fc.property(usual, usual, ([k1, s1, x1], [k2, s2, x2]) => {
        const [a, b] = [film(k1, s1, x1), film(k2, s2, x2)]
        const [ra, rb] = [a.reflectance, b.reflectance]
        const expected = (2 * ra * rb * (k2 / s2 - k1 / s1)) / (1 - ra * rb)
        expect(Math.abs(over(a, rb) - over(b, ra) - expected)).toBeLessThan(1e-9)
      }),
      runs,
    )
  })

  test('finite for any finite film', () => {
    const any = fc.double({ min: 0, max: corners[3], noNaN: true })
    fc.assert(
      fc.property(any, any, any, share, (k, s, x, backing) => {
        const { reflectance, transmittance } = film(k, s, x)
        for (const value of [reflectance, transmittance, overBacking(k, s, x, backing), opaqueReflectance(k, s)])
          expect(value >= 0 && value <= 1 + 1e-12, `K ${k}, S ${s}, X ${x}: ${value}`).toBe(true)
      }),
      {
        ...runs,
        examples: corners.flatMap(k =>
          corners.flatMap(s => corners.flatMap(x => [0, 1].map((g): [number, number, number, number] => [k, s, x, g]))),
        ),
      },
    )
  })
})
