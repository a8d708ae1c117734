import { readFileSync } from 'node:fs'
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core'
import { afterAll, beforeAll, describe } from 'vitest'
import { BROWSER_FLAGS, readThroughFirstUse, waitUntilSettled } from '../../scripts/browser-page.ts'
import { findBrowser } from '../../scripts/find-browser.ts'
import { serveSite } from '../../scripts/serve-site.ts'
import type { AppState } from '../../src/app/app-state.ts'

const executable = process.env.GREYCOAT_BROWSER ?? findBrowser() ?? ''

export interface OpenApp {
  readonly page: Page
  readonly address: string
  readonly context: BrowserContext
  /** Requests that left the page's own origin: must stay empty. */
  readonly strayRequests: string[]
  /** Errors the page threw or logged: must stay empty unless a test says why. */
  readonly errors: string[]
}

/** A group of tests on the built site in a real browser; reported as not run where there is none. */
export function describeInBrowser(
  title: string,
  body: (open: (options?: OpenOptions) => Promise<OpenApp>) => void,
): void {
  describe.skipIf(executable === '')(executable ? title : `${title} (not run: no Chrome or Chromium)`, () => {
    let browser: Browser
    let site: Awaited<ReturnType<typeof serveSite>>
    beforeAll(async () => {
      site = await serveSite()
      browser = await chromium.launch({ executablePath: executable, args: BROWSER_FLAGS })
    })
    afterAll(async () => {
      await browser?.close()
      await site?.close()
    })
    body(options => openApp(browser, site.address, options))
  })
}

export interface OpenOptions {
  readonly width?: number
  readonly height?: number
  readonly query?: string
  /** Dismiss first-use dialogs and wait until the demo stands refined. Default true. */
  readonly settled?: boolean
}

async function openApp(
  browser: Browser,
  address: string,
  { width = 1440, height = 900, query = '', settled = true }: OpenOptions = {},
): Promise<OpenApp> {
  const context = await browser.newContext({
    viewport: { width, height },
    acceptDownloads: true,
    permissions: ['clipboard-read', 'clipboard-write'],
  })
  const page = await context.newPage()
  const strayRequests: string[] = []
  const errors: string[] = []
  page.on('request', request => {
    const url = request.url()
    if (!url.startsWith(address) && !/^(blob|data):/.test(url)) strayRequests.push(url)
  })
  page.on('pageerror', error => errors.push(error.message))
  page.on('console', message => {
    if (message.type() === 'error') errors.push(message.text())
  })
  await page.goto(address + query)
  if (settled) {
    await readThroughFirstUse(page)
    await waitUntilSettled(page)
  }
  return { page, address, context, strayRequests, errors }
}

/** Reads something from the app's state. */
export function readState<T>(page: Page, select: (state: AppState) => T): Promise<T> {
  return page.evaluate(`(${select.toString()})(window.greycoat.store.getState())`) as Promise<T>
}

/** A file as a browser's file chooser wants it. */
export function fileFor(path: string, name: string): { name: string; mimeType: string; buffer: Buffer } {
  return { name, mimeType: 'application/octet-stream', buffer: readFileSync(path) }
}
