import { describe, expect, test } from 'vitest'
import { balancedOnGrey, photoPatch } from './photo-patch.ts'
import { decodeSrgb, srgbByte } from './srgb.ts'

/** A square of pixels by place. */
function pixels(size: number, at: (x: number, y: number) => readonly [number, number, number]): Uint8ClampedArray {
  const rgba = new Uint8ClampedArray(4 * size * size).fill(255)
  for (let y = 0; y < size; y++) for (let x = 0; x < size; x++) rgba.set(at(x, y), 4 * (y * size + x))
  return rgba
}

describe('a disc of a photo', () => {
  test('of one colour is that colour, even and unclipped', () => {
    const patch = photoPatch(
      pixels(9, () => [40, 120, 200]),
      9,
    )
    ;[40, 120, 200].forEach((code, c) => {
      expect(patch.mean[c]).toBeCloseTo(decodeSrgb(code / 255), 9)
    })
    expect(patch.clipped).toBe(0)
    expect(patch.unevenness).toBeLessThan(1e-6)
  })

  /** Closed form: the mean of light, not of codes. */
  test('averages light', () => {
    const patch = photoPatch(
      pixels(8, x => (x < 4 ? [20, 20, 20] : [220, 220, 220])),
      8,
    )
    const [dark, light] = [decodeSrgb(20 / 255), decodeSrgb(220 / 255)]
    expect(patch.mean[1]).toBeCloseTo((dark + light) / 2, 9)
    expect(patch.unevenness).toBeCloseTo((light - dark) / (light + dark), 6)
  })

  test('leaves the corners out', () => {
    const size = 20
    const corner = (x: number, y: number) => Math.hypot(x - 9.5, y - 9.5) > 10.5
    const patch = photoPatch(
      pixels(size, (x, y) => (corner(x, y) ? [255, 0, 0] : [90, 90, 90])),
      size,
    )
    expect(patch.clipped).toBe(0)
    expect(patch.mean[0]).toBeCloseTo(decodeSrgb(90 / 255), 9)
  })

  test('tells what is burnt out or black', () => {
    expect(
      photoPatch(
        pixels(10, x => (x < 5 ? [255, 180, 90] : [200, 180, 90])),
        10,
      ).clipped,
    ).toBeCloseTo(0.5, 6)
    expect(
      photoPatch(
        pixels(6, () => [0, 1, 0]),
        6,
      ).clipped,
    ).toBe(1)
    // A saturated colour may lack a channel.
    expect(
      photoPatch(
        pixels(6, () => [180, 0, 20]),
        6,
      ).clipped,
    ).toBe(0)
  })
})

/** Closed form: a lamp multiplies each channel; dividing by what the card shows takes it out whatever it is. */
test('balanced on grey, a patch is what it was before the lamp and the exposure', () => {
  const lamp = [1.31, 0.9, 0.44]
  const patch = [0.21, 0.4, 0.07] as const
  const under = (rgb: readonly number[]) => rgb.map((v, c) => v * lamp[c]) as unknown as typeof patch
  balancedOnGrey(under(patch), under([0.18, 0.18, 0.18]), 0.18).forEach((value, c) => {
    expect(value).toBeCloseTo(patch[c], 12)
  })
  // With 8 bits between, the error is what half a code is there.
  const coded = (rgb: readonly number[]) =>
    under(rgb).map(v => decodeSrgb(srgbByte(v) / 255)) as unknown as typeof patch
  balancedOnGrey(coded(patch), coded([0.18, 0.18, 0.18]), 0.18).forEach((value, c) => {
    expect(Math.abs(value / patch[c] - 1)).toBeLessThan(0.025)
  })
})
