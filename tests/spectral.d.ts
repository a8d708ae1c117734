declare module 'spectral.js' {
  /** Of 38 reflectances, 380 to 750 nm. */
  export class Color {
    constructor(reflectances: readonly number[])
    readonly XYZ: readonly [number, number, number]
  }
}
