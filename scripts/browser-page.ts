import type { Page } from 'playwright-core'
import type { AppState } from '../src/app/app-state.ts'
import type { Commands } from '../src/app/commands.ts'

/** What main.tsx hangs on the window for tests and benches. */
export interface GreycoatWindow {
  readonly greycoat: { readonly store: { getState(): AppState }; readonly commands: Commands }
}

/** Software WebGL2, the same on every machine. */
export const BROWSER_FLAGS = [
  '--no-sandbox',
  '--use-gl=angle',
  '--use-angle=swiftshader',
  '--enable-unsafe-swiftshader',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--no-first-run',
]

/** Closes what is shown on first use (cautions, beginner's start), as a returning user would find it. */
export async function readThroughFirstUse(page: Page): Promise<void> {
  await page.waitForFunction(
    () => (window as unknown as GreycoatWindow).greycoat?.store.getState().session.ready === true,
    null,
    { timeout: 60_000 },
  )
  await page.evaluate(() => {
    const { commands } = (window as unknown as GreycoatWindow).greycoat
    commands.setPreferences({ cautionsSeen: true, startSeen: true })
    commands.select({ dialog: null })
  })
}

/** Until nothing is being read or computed and the main side is refined. */
export async function waitUntilSettled(page: Page, timeout = 60_000): Promise<void> {
  await page.waitForFunction(
    () => {
      const state = (window as unknown as GreycoatWindow).greycoat?.store.getState()
      if (!state?.session.ready || state.session.intake !== null || state.session.gesture !== null) return false
      const { progress, sides, figure, readings } = state.derived
      return (
        progress === null &&
        figure !== null &&
        sides.main?.figureId === figure.id &&
        sides.main.quality === 'refined' &&
        readings.main !== null
      )
    },
    null,
    { timeout },
  )
}
