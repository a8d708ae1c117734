import { BANDS } from '../colour/bands.ts'
import { luminanceOfLStar } from '../colour/lab.ts'
import { internalReflectance } from './saunderson.ts'

/** Values between which it is judged what a paint lets through: a dark and a light of a usual pre-shade, L*. */
export const DARK_VALUE = 30
export const LIGHT_VALUE = 80

/** Internal reflectance of a neutral ground that is seen at this L*. */
export const greyGround = (lStar: number): Float64Array =>
  new Float64Array(BANDS).fill(Math.max(0, internalReflectance(luminanceOfLStar(lStar))))
