import { luminanceOfLStar } from '../colour/lab.ts'

/** L* of bare and of painted while a guess is made; the page shades both, so that the shape is still read. */
const GUESSING = [38, 96] as const

/** What a guess comes to, place by place, and its grey. */
export const JUDGED = [
  { lStar: 38, words: 'neither lit nor painted' },
  { lStar: 8, words: 'painted, but not lit' },
  { lStar: 68, words: 'lit, and missed' },
  { lStar: 98, words: 'lit and painted' },
] as const

/** 3·V greys of a guess. @param guess V, 1 painted, 0 not */
export const guessColours = (guess: Float32Array): Float32Array =>
  greys(guess.length, GUESSING, v => (guess[v] > 0.5 ? 1 : 0))

/** 3·V greys of a guess beside what is lit: exposure above `level`. */
export const judgedColours = (guess: Float32Array, exposure: Float32Array, level: number): Float32Array =>
  greys(
    guess.length,
    JUDGED.map(judged => judged.lStar),
    v => (guess[v] > 0.5 ? 1 : 0) + (exposure[v] > level ? 2 : 0),
  )

function greys(vertices: number, lStars: readonly number[], entryOf: (v: number) => number): Float32Array {
  const luminances = lStars.map(luminanceOfLStar)
  const rgb = new Float32Array(3 * vertices)
  for (let v = 0; v < vertices; v++) rgb.fill(luminances[entryOf(v)], 3 * v, 3 * v + 3)
  return rgb
}
