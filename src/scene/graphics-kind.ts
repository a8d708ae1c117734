/** Names of renderers that draw on the processor: they do without smoothed edges and fine pixels, so as to follow. */
const SOFTWARE = /swiftshader|llvmpipe|softpipe|software|basic render/i

export interface GraphicsKind {
  readonly webgl2: boolean
  readonly software: boolean
  /**
   * Who computes the picture's colours: the processor's workers, the graphics card while it is quick enough, or the
   * card however slow it is. The page's address decides with `gpu=off` or `gpu=on`, for tests and for whoever doubts
   * the card.
   */
  readonly colours: 'workers' | 'card' | 'card-always'
}

let known: GraphicsKind | null = null

/** Asked before anything is mounted that would throw without WebGL2. */
export function graphicsKind(): GraphicsKind {
  if (known) return known
  const context = document.createElement('canvas').getContext('webgl2')
  const info = context?.getExtension('WEBGL_debug_renderer_info')
  const name = context ? String(context.getParameter(info?.UNMASKED_RENDERER_WEBGL ?? context.RENDERER)) : ''
  context?.getExtension('WEBGL_lose_context')?.loseContext()
  const software = SOFTWARE.test(name)
  const wish = new URLSearchParams(location.search).get('gpu')
  const colours = wish === 'on' ? 'card-always' : wish === 'off' || software ? 'workers' : 'card'
  known = { webgl2: context !== null, software, colours }
  return known
}
