import { addAfterEffect, addEffect } from '@react-three/fiber'

/** The canvas' own context; asking again gives the one that draws. */
export function stageContext(): WebGL2RenderingContext {
  const context = document.querySelector<HTMLCanvasElement>('.stage canvas')?.getContext('webgl2')
  if (!context) throw new Error('the stage has no WebGL2')
  return context
}

export function rendererName(gl: WebGL2RenderingContext): string {
  const info = gl.getExtension('WEBGL_debug_renderer_info')
  return String(gl.getParameter(info?.UNMASKED_RENDERER_WEBGL ?? gl.RENDERER))
}

/** Returns when the card has done everything that it was asked: a pixel comes back, which nothing can come before. */
export function finish(gl: WebGL2RenderingContext): void {
  gl.bindFramebuffer(gl.FRAMEBUFFER, null)
  gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, new Uint8Array(4))
}

/** Of one frame, ms. */
export interface FrameTime {
  /** From the card's last pixel of the frame before to its last of this one: everything. */
  readonly whole: number
  /** From asking for the frame to its beginning: commands, panels, layout, and what the browser makes of them. */
  readonly page: number
  /** The frame's own commands to the card. */
  readonly commands: number
  /** What the card still had to do then. */
  readonly card: number
}

/**
 * Real frame times: from one finished frame to the next, the page's own work and the card's included. Frames that the
 * page did not draw do not count.
 * @param step asks for the next frame; seconds since the first
 * @param finished waits for the frame just commanded, or as browsers do, for the one before it (see `oneAhead`)
 */
export function frameTimes(
  gl: WebGL2RenderingContext,
  seconds: number,
  step: (second: number) => void,
  finished: (gl: WebGL2RenderingContext) => void = finish,
) {
  return new Promise<FrameTime[]>(resolve => {
    const times: FrameTime[] = []
    const start = performance.now()
    let last = start
    let begun = start
    const stopBefore = addEffect(() => {
      begun = performance.now()
    })
    const stopAfter = addAfterEffect(() => {
      const commanded = performance.now()
      finished(gl)
      const now = performance.now()
      times.push({ whole: now - last, page: begun - last, commands: commanded - begun, card: now - commanded })
      last = now
      // After this loop of frames has ended: what asks within it is not heard.
      if (now - start < 1000 * seconds) queueMicrotask(() => step((now - start) / 1000))
      else {
        stopBefore()
        stopAfter()
        resolve(times.slice(1))
      }
    })
    step(0)
  })
}

/**
 * As pages are drawn: the next frame is prepared while the card is at the last one. Each frame's pixel is asked for, and
 * the one of the frame before waited for, so the card is never more than a frame behind.
 */
export function oneAhead(gl: WebGL2RenderingContext): (gl: WebGL2RenderingContext) => void {
  const pixels = [gl.createBuffer(), gl.createBuffer()]
  for (const buffer of pixels) {
    gl.bindBuffer(gl.PIXEL_PACK_BUFFER, buffer)
    gl.bufferData(gl.PIXEL_PACK_BUFFER, 4, gl.STREAM_READ)
  }
  let frame = 0
  return () => {
    gl.bindFramebuffer(gl.FRAMEBUFFER, null)
    gl.bindBuffer(gl.PIXEL_PACK_BUFFER, pixels[frame % 2])
    gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, 0)
    if (frame > 0) {
      gl.bindBuffer(gl.PIXEL_PACK_BUFFER, pixels[(frame + 1) % 2])
      gl.getBufferSubData(gl.PIXEL_PACK_BUFFER, 0, new Uint8Array(4))
    }
    gl.bindBuffer(gl.PIXEL_PACK_BUFFER, null)
    frame++
  }
}

/** For a report: how many frames, how long, and of what the middle one is made. */
export function summaryOf(times: readonly FrameTime[]) {
  const of = (part: keyof FrameTime, share: number) =>
    rounded(
      percentile(
        times.map(t => t[part]),
        share,
      ),
    )
  return {
    frames: times.length,
    median: of('whole', 0.5),
    p95: of('whole', 0.95),
    worst: of('whole', 1),
    medianOf: { page: of('page', 0.5), commands: of('commands', 0.5), card: of('card', 0.5) },
  }
}

export function percentile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b)
  return sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)]
}

export const rounded = (value: number, digits = 2): number => Number(value.toFixed(digits))

export const sleep = (ms: number) => new Promise(resolve => setTimeout(resolve, ms))

export async function until(what: string, holds: () => boolean, seconds = 120): Promise<void> {
  for (let waited = 0; !holds(); waited += 50) {
    if (waited > 1000 * seconds) throw new Error(`waited in vain until ${what}`)
    await sleep(50)
  }
}
