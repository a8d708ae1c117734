import { useEffect, useState } from 'react'
import type { WebGLRenderer } from 'three'
import { useAppHandle } from '../../ui/use-app.ts'
import type { FigureMaterial } from '../figure-material.ts'
import { graphicsKind } from '../graphics-kind.ts'
import type { GpuPicture } from './gpu-picture.ts'

/** Name of the mark on the page's timeline when everything shown is refined. */
export const PICTURE_REFINED = 'greycoat picture refined'

/** Colours computed on the card, where there is one that can. */
export interface GpuColours {
  /** Before a frame is drawn: brings the colours up to the state and hands their textures to the material. */
  follow(material: FigureMaterial): void
}

/**
 * null where the workers' colours are to be shown: software renderers, a card that lacks float targets, one that is too
 * slow or ran out of memory, and from the first lost context on, as what was lost may be lost again.
 */
export function useGpuColours(renderer: WebGLRenderer, invalidate: () => void): GpuColours | null {
  const { store } = useAppHandle()
  const [colours, setColours] = useState<GpuColours | null>(null)
  useEffect(() => {
    const { colours: who } = graphicsKind()
    if (who === 'workers') return
    let stop: (() => void) | null = null
    let left = false
    // Fetched where there is a card for it, and only then: nobody waits for it, as the workers paint meanwhile.
    void import('./gpu-picture.ts')
      .then(({ createGpuPicture }) => {
        if (!left) stop = begin(gl => createGpuPicture(gl, who === 'card-always'))
      })
      .catch(giveUp)
    return () => {
      left = true
      stop?.()
    }

    function giveUp(thrown: unknown): void {
      console.info(`colours come from the processor: ${thrown}`)
      setColours(null)
    }

    function begin(createPicture: (gl: WebGL2RenderingContext) => GpuPicture): () => void {
      const gl = renderer.getContext() as WebGL2RenderingContext
      const picture = createPicture(gl)
      let timer: ReturnType<typeof setTimeout> | undefined
      let wasRefined = false
      const unsubscribe = store.subscribe((state, before) => {
        const { history, session, derived } = state
        if (
          history.present !== before.history.present ||
          session.gesture !== before.session.gesture ||
          derived.figure !== before.derived.figure ||
          derived.sides !== before.derived.sides
        )
          invalidate()
      })
      setColours({
        follow(material) {
          if (gl.isContextLost()) return
          clearTimeout(timer)
          try {
            const waitMs = picture.follow(store.getState(), performance.now())
            if (waitMs === 0) invalidate()
            else if (waitMs !== null) timer = setTimeout(invalidate, waitMs)
            // Seen in the browser's own profiler.
            else if (!wasRefined) performance.mark(PICTURE_REFINED)
            wasRefined = waitMs === null
          } catch (thrown) {
            giveUp(thrown)
          } finally {
            renderer.resetState()
          }
          const { mainTexels, otherTexels } = material.uniforms
          const main = picture.coloursOf('main')
          mainTexels.value.sourceTexture = main
          // Where there is no other side yet, the seam shows the main one on both sides rather than a hole.
          otherTexels.value.sourceTexture = picture.coloursOf('other') ?? main
        },
      })
      const onLost = () => setColours(null)
      renderer.domElement.addEventListener('webglcontextlost', onLost)
      return () => {
        renderer.domElement.removeEventListener('webglcontextlost', onLost)
        clearTimeout(timer)
        unsubscribe()
        picture.dispose()
        setColours(null)
      }
    }
  }, [renderer, store, invalidate])
  return colours
}
