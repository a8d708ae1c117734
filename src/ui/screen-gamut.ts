import type { ScreenGamut } from '../core/colour/display-p3.ts'

/** What the screen that shows the page can show; P3 where screen, browser and canvas all can. */
export const screenGamut = (): ScreenGamut =>
  window.matchMedia('(color-gamut: p3)').matches && 'drawingBufferColorSpace' in WebGL2RenderingContext.prototype
    ? 'display-p3'
    : 'srgb'
