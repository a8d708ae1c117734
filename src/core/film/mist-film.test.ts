import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { film, opaqueReflectance, over } from './kubelka-munk.ts'
import { eachCount, meanFilm, mistOver } from './mist-film.ts'
import { seenReflectance } from './saunderson.ts'

describe('C23: Poisson coverage', () => {
  const bare = (mean: number) => {
    let none = 0
    eachCount(mean, (n, p) => {
      if (n === 0) none = p
    })
    return none
  }
  // exp(−1) = 0.3679 bare at one mean layer; half covered at ln 2 = 0.6931 layers.
  test('bare share at one mean layer', () => expect(bare(1)).toBeCloseTo(Math.exp(-1), 12))
  test('half covered at ln 2 layers', () => expect(bare(Math.LN2)).toBeCloseTo(0.5, 12))
  test.each([0, 0.03, 1.7, 40, 900])('probabilities add up and have the mean they should: %f', mean => {
    let total = 0
    let first = 0
    eachCount(mean, (n, p) => {
      total += p
      first += n * p
    })
    expect(total).toBeCloseTo(1, 8)
    expect(first).toBeCloseTo(mean, 6)
  })
  test('opaque droplets: seen reflectance is coverage times theirs', () => {
    // ρ = C·ρ∞ + (1 − C)·ρg with C = 1 − exp(−X/h): areal dithering (Murray, Davies 1936), closed form.
    const [k, s, h, x, g] = [3, 60, 5, 3.5, 0.03]
    const covered = 1 - Math.exp(-x / h)
    const opaque = over(film(k, s, h), g)
    const seen = covered * seenReflectance(opaque) + (1 - covered) * seenReflectance(g)
    expect(seenReflectance(mistOver(k, s, x, h, g))).toBeCloseTo(seen, 4)
  })
})

test('vanishing droplets are a film', () => {
  const [k, s, x, g] = [0.02, 0.45, 1.3, 0.05]
  const even = over(film(k, s, x), g)
  const gap = (h: number) => Math.abs(mistOver(k, s, x, h, g) - even)
  expect(gap(0.002)).toBeLessThan(1e-3)
  // First order in h: ten times finer, ten times closer.
  expect(gap(0.02) / gap(0.002)).toBeGreaterThan(8)
  expect(gap(0.02) / gap(0.002)).toBeLessThan(12)
})

test('a mist of white reads darker than the even film of the same amount (Jensen: R is concave in X)', () => {
  for (const h of [0.2, 0.39, 2])
    expect(mistOver(0.0005, 0.45, 1, h, 0.03)).toBeLessThan(mistOver(0.0005, 0.45, 1, 0, 0.03))
})

test.each([
  [0.39, 0.003],
  [4, 0.006],
])('the mean film of droplets of %f µm stands for the exact mean within %f', (h, tolerance) => {
  let worst = 0
  for (const k of [0, 0.001, 0.1, 2])
    for (const s of [0, 0.05, 0.45])
      for (const x of [0.1, 0.5, 2, 8])
        for (const g of [0, 0.1, 0.25, 0.5, 0.7, 0.9, 1]) {
          const { a, b, c } = meanFilm(k, s, x, h)
          worst = Math.max(worst, Math.abs(a + (b * g) / (1 - c * g) - mistOver(k, s, x, h, g)))
        }
  expect(worst).toBeLessThan(tolerance)
  // The form is no free lunch: where it errs at all, the test can see it.
  expect(worst).toBeGreaterThan(1e-6)
})

describe('laws, droplets included', () => {
  const per = fc.double({ min: 0, max: 20, noNaN: true })
  const thickness = fc.double({ min: 0, max: 500, noNaN: true })
  const height = fc.oneof(fc.constant(0), fc.double({ min: 0.02, max: 20, noNaN: true }))
  const share = fc.double({ min: 0, max: 1, noNaN: true })
  const runs = { seed: 41, numRuns: 300 }

  test('no more light comes out than went in, and every answer is a number: also of nothing at all', () => {
    fc.assert(
      fc.property(per, per, thickness, height, share, (k, s, x, h, backing) => {
        const seen = mistOver(k, s, x, h, backing)
        expect(seen >= 0 && seen <= 1 + 1e-8, String(seen)).toBe(true)
        const { a, b, c } = meanFilm(k, s, x, h)
        const mean = a + (b * backing) / (1 - c * backing)
        expect(mean >= -1e-8 && mean <= 1 + 1e-6, String(mean)).toBe(true)
      }),
      {
        ...runs,
        // Nothing at all, clear film, perfect white, and films that hide.
        examples: [0, 0.39].flatMap(h =>
          [
            [0, 0, 0],
            [0, 0, 12],
            [0, 0.45, 12],
            [0.2, 2, 300],
            [1, 0, 300],
          ].map(([k, s, x]): [number, number, number, number, number] => [k, s, x, h, 1]),
        ),
      },
    )
  })

  test('more passes bring a mist nearer to its opaque colour', () => {
    fc.assert(
      fc.property(per, per, thickness, height, share, share, (k, s, x, h, part, backing) => {
        const away = (um: number) => Math.abs(mistOver(k, s, um, h, backing) - opaqueReflectance(k, s))
        expect(away(x)).toBeLessThanOrEqual(away(part * x) + 1e-8)
      }),
      runs,
    )
  })
})
