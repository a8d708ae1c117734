import { readdirSync, readFileSync } from 'node:fs'
import { gzipSync } from 'node:zlib'
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core'
import { build } from 'vite'
import { BROWSER_FLAGS, type GreycoatWindow, readThroughFirstUse, waitUntilSettled } from '../browser-page.ts'
import { findBrowser } from '../find-browser.ts'
import { serveSite } from '../serve-site.ts'

type Figure = { value: number; unit: string; note?: string }

/** Software WebGL2 on the built page: what a machine without a GPU sees. */
export const browserBenches: Record<string, () => Promise<Figure>> = {
  /** From opening the page to the frame after the demo's first pre-shaded picture; median of 3 fresh profiles. */
  first_picture_ms: () =>
    inBrowser(async (browser, address) => {
      const times: number[] = []
      for (let round = 0; round < 3; round++) {
        const context = await browser.newContext({ viewport: { width: 1440, height: 900 } })
        const page = await newPage(context)
        await page.addInitScript(() => {
          const watch = () => {
            const state = (window as unknown as GreycoatWindow).greycoat?.store.getState()
            if (state?.derived.sides.main)
              requestAnimationFrame(() =>
                requestAnimationFrame(() => Object.assign(window, { firstPicture: performance.now() })),
              )
            else requestAnimationFrame(watch)
          }
          requestAnimationFrame(watch)
        })
        await page.goto(address)
        await page.waitForFunction(() => 'firstPicture' in window, null, { timeout: 60_000 })
        times.push(await page.evaluate(() => (window as unknown as { firstPicture: number }).firstPicture))
        await context.close()
      }
      return { value: median(times), unit: 'ms', note: await renderer(browser) }
    }),

  /**
   * A torch is moved; time to the frame that shows the coarse answer. The answer counts only if it is that very torch
   * position, occluded: less than half of the change from the old refined answer to the new one may be missing from it.
   */
  drag_ms_demo: () =>
    inBrowser(async (browser, address) => {
      const page = await newPage(await browser.newContext({ viewport: { width: 1440, height: 900 } }))
      await page.goto(address)
      await readThroughFirstUse(page)
      await waitUntilSettled(page)
      const times: number[] = []
      for (let round = 0; round < 9; round++) {
        // From rest: the refined picture before it has been drawn.
        await page.waitForTimeout(600)
        times.push(await timeOneDrag(page, (70 * (round + 1)) % 360))
      }
      return {
        value: median(times),
        unit: 'ms',
        note: `median of 9, worst ${Math.round(Math.max(...times))} ms; ${await renderer(browser)}`,
      }
    }),

  /** Compressed script that the first load fetches: everything index.html names or its modules import at once. */
  first_load_script_kb: async () => {
    await build({ logLevel: 'error' })
    const html = readFileSync('dist/index.html', 'utf8')
    const names = [...html.matchAll(/(?:src|href)="\.?\/?(assets\/[^"]+\.js)"/g)].map(match => match[1])
    const workers = readdirSync('dist/assets')
      .filter(name => /worker.*\.js$/.test(name))
      .map(name => `assets/${name}`)
    const size = [...new Set([...names, ...workers])].reduce(
      (sum, name) => sum + gzipSync(readFileSync(`dist/${name}`)).length,
      0,
    )
    return { value: size / 1000, unit: 'kB', note: `page and workers: ${names.length} + ${workers.length} files, gzip` }
  },
}

async function timeOneDrag(page: Page, azimuth: number): Promise<number> {
  const result = await page.evaluate(async turn => {
    const { store, commands } = (window as unknown as GreycoatWindow).greycoat
    const state = store.getState()
    const coat = state.history.present.recipe.coats.find(c => c.kind === 'mist')
    if (coat?.kind !== 'mist') throw new Error('the demo has no sprayed coat')
    const torch = coat.torches[0]
    const before = state.derived.sides.main
    if (!before) throw new Error('nothing is drawn yet')
    const until = (done: () => boolean) =>
      new Promise<void>(resolve => {
        const look = () => (done() ? resolve() : setTimeout(look, 0))
        look()
      })
    const started = performance.now()
    commands.setTorch(torch.id, { azimuthDegrees: turn }, 'bench')
    await until(() => store.getState().derived.sides.main !== before)
    await new Promise<void>(resolve => requestAnimationFrame(() => requestAnimationFrame(() => resolve())))
    const ms = performance.now() - started
    const coarse = store.getState().derived.sides.main?.linearRgb.slice() ?? new Float32Array()
    commands.endGesture()
    await until(
      () => store.getState().derived.progress === null && store.getState().derived.sides.main?.quality === 'refined',
    )
    const refined = store.getState().derived.sides.main?.linearRgb ?? new Float32Array()
    let fromRefined = 0
    let fromOld = 0
    for (let i = 0; i < refined.length; i++) {
      fromRefined += Math.abs(coarse[i] - refined[i])
      fromOld += Math.abs(before.linearRgb[i] - refined[i])
    }
    return { ms, share: fromRefined / fromOld }
  }, azimuth)
  if (!(result.share < 0.5))
    throw new Error(
      `the coarse frame is not of the new torch position (${result.share.toFixed(2)} of the change is missing)`,
    )
  return result.ms
}

/** The script runner's compiler wraps named functions in `__name`, which a page does not have. */
async function newPage(context: BrowserContext): Promise<Page> {
  const page = await context.newPage()
  await page.addInitScript('globalThis.__name = f => f')
  return page
}

async function inBrowser(measure: (browser: Browser, address: string) => Promise<Figure>): Promise<Figure> {
  const executablePath = findBrowser()
  if (!executablePath) throw new Error('no Chrome or Chromium')
  await build({ logLevel: 'error' })
  const site = await serveSite()
  const browser = await chromium.launch({ executablePath, args: BROWSER_FLAGS })
  try {
    return await measure(browser, site.address)
  } finally {
    await browser.close()
    await site.close()
  }
}

async function renderer(browser: Browser): Promise<string> {
  const page = await browser.newPage()
  const name = await page.evaluate(() => {
    const gl = document.createElement('canvas').getContext('webgl2')
    const info = gl?.getExtension('WEBGL_debug_renderer_info')
    return gl && info ? String(gl.getParameter(info.UNMASKED_RENDERER_WEBGL)) : 'no WebGL2'
  })
  await page.close()
  return name
}

const median = (values: readonly number[]) => [...values].sort((a, b) => a - b)[values.length >> 1]
