import { CIE_FIRST_NM, CIE_STEP_NM, D65 } from './cie-tables.ts'

/** Lamps by their relative spectral power, 380 to 780 nm every 5 nm. */
export type Lamp = 'D65' | 'D50' | 'A' | 'LED-B1'

/**
 * Components of daylight, 380 to 780 nm every 10 nm: mean and first two directions in which daylights differ.
 * Source: CIE 015:2018, S0, S1, S2; five nanometres between by straight lines, as CIE does for D50 and D65.
 */
// biome-ignore format: a table
const DAYLIGHT: readonly (readonly number[])[] = [[
  63.4, 65.8, 94.8, 104.8, 105.9, 96.8, 113.9, 125.6, 125.5, 121.3, 121.3, 113.5, 113.1, 110.8,
  106.5, 108.8, 105.3, 104.4, 100, 96, 95.1, 89.1, 90.5, 90.3, 88.4, 84, 85.1, 81.9,
  82.6, 84.9, 81.3, 71.9, 74.3, 76.4, 63.3, 71.7, 77, 65.2, 47.7, 68.6, 65,
], [
  38.5, 35, 43.4, 46.3, 43.9, 37.1, 36.7, 35.9, 32.6, 27.9, 24.3, 20.1, 16.2, 13.2,
  8.6, 6.1, 4.2, 1.9, 0, -1.6, -3.5, -3.5, -5.8, -7.2, -8.6, -9.5, -10.9, -10.7,
  -12, -14, -13.6, -12, -13.3, -12.9, -10.6, -11.6, -12.2, -10.2, -7.8, -11.2, -10.4,
], [
  3, 1.2, -1.1, -0.5, -0.7, -1.2, -2.6, -2.9, -2.8, -2.6, -2.6, -1.8, -1.5, -1.3,
  -1.2, -1, -0.5, -0.3, 0, 0.2, 0.5, 2.1, 3.2, 4.1, 4.7, 5.1, 6.7, 7.3,
  8.6, 9.8, 10.2, 8.3, 9.6, 8.5, 7, 7.6, 8, 6.7, 5.2, 7.4, 6.8,
]]

/**
 * A daylight phase.
 * @param nominalKelvin as in its name: D50 is 5000 K on the temperature scale of 1968 (c2 = 1.4380 cm·K)
 * Source: CIE 015:2018, the daylight locus for 4000 to 7000 K; M1 and M2 rounded to three decimals as it asks.
 */
export function daylight(nominalKelvin: number): number[] {
  const kelvin = (nominalKelvin * 1.4388) / 1.438
  const x = 0.244063 + 99.11 / kelvin + 2.9678e6 / kelvin ** 2 - 4.607e9 / kelvin ** 3
  const y = -3 * x * x + 2.87 * x - 0.275
  const m = 0.0241 + 0.2562 * x - 0.7341 * y
  const m1 = Math.round((1000 * (-1.3515 - 1.7703 * x + 5.9114 * y)) / m) / 1000
  const m2 = Math.round((1000 * (0.03 - 31.4424 * x + 30.0717 * y)) / m) / 1000
  const every10 = DAYLIGHT[0].map((mean, i) => mean + m1 * DAYLIGHT[1][i] + m2 * DAYLIGHT[2][i])
  return Array.from({ length: 2 * every10.length - 1 }, (_, i) =>
    i % 2 === 0 ? every10[i / 2] : (every10[(i - 1) / 2] + every10[(i + 1) / 2]) / 2,
  )
}

/** Tungsten filament light. Source: CIE 015:2018, Planck's formula with c2 = 1.435·10⁷ nm·K and 2848 K; 100 at 560 nm. */
const incandescent = (nm: number): number => {
  const planck = (at: number) => at ** -5 / Math.expm1(1.435e7 / (2848 * at))
  return (100 * planck(nm)) / planck(560)
}

/** Warm white LED, phosphor over a blue die. Source: CIE 015:2018, illuminant LED-B1 (x 0.4560, y 0.4078). */
// biome-ignore format: a table
const LED_B1: readonly number[] = [
  0, 0.01, 0.01, 0.02, 0.04, 0.07, 0.15, 0.28, 0.53, 0.92, 1.54, 2.52, 4.16, 6.39,
  7.89, 7.57, 6.25, 5.16, 4.37, 3.84, 3.7, 3.88, 4.26, 4.79, 5.41, 6.05, 6.7, 7.34,
  7.98, 8.64, 9.31, 10.02, 10.76, 11.53, 12.38, 13.28, 14.23, 15.2, 16.2, 17.19, 18.14, 19.02,
  19.78, 20.38, 20.8, 21, 20.97, 20.71, 20.23, 19.56, 18.76, 17.82, 16.78, 15.66, 14.49, 13.31,
  12.15, 11.02, 9.95, 8.93, 7.98, 7.1, 6.3, 5.57, 4.89, 4.26, 3.72, 3.25, 2.83, 2.47,
  2.15, 1.87, 1.63, 1.42, 1.25, 1.1, 0.97, 0.86, 0.76, 0.68, 0.61,
]

/** On screen. */
export const LAMP_WORDS: Readonly<Record<Lamp, string>> = {
  D65: 'daylight',
  D50: 'print booth',
  A: 'light bulb',
  'LED-B1': 'warm LED',
}

export const LAMPS: Readonly<Record<Lamp, readonly number[]>> = {
  D65,
  D50: daylight(5000),
  A: D65.map((_, i) => incandescent(CIE_FIRST_NM + CIE_STEP_NM * i)),
  'LED-B1': LED_B1,
}
