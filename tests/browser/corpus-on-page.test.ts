import { readFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { waitUntilSettled } from '../../scripts/browser-page.ts'
import { sharedPath } from '../shared-data.ts'
import { describeInBrowser, readState } from './open-app.ts'

const corpus = sharedPath('corpus')

describeInBrowser('258 awkward and broken files, one after another on one page', open => {
  test.skipIf(!corpus)(
    `each stands or is refused in words within 5 s, and the page still works${corpus ? '' : ' (not run: ../shared absent)'}`,
    async () => {
      const { page, strayRequests, errors } = await open()
      const manifest = JSON.parse(readFileSync(join(corpus!, 'manifest.json'), 'utf8')) as { file: string }[]
      const slow: string[] = []
      let stood = 0
      let refused = 0
      for (const { file } of manifest) {
        const { ms, problem } = await openFile(page, basename(file), readFileSync(join(corpus!, file)))
        if (ms > 5000) slow.push(`${file} ${Math.round(ms)} ms`)
        if (problem) refused++
        else stood++
      }
      expect(slow).toEqual([])
      expect(stood + refused).toBe(258)
      expect(stood).toBeGreaterThan(100)
      expect(strayRequests).toEqual([])
      expect(errors).toEqual([])

      await page.evaluate('window.greycoat.commands.openBuiltIn("sentinel")')
      await waitUntilSettled(page)
      const reading = await readState(page, s => s.derived.readings.main!)
      expect(reading.contrast).toBeGreaterThan(25)
      await page.context().close()
    },
    600_000,
  )
})

/** Opens a file as a drop does, and waits until it was taken or refused. */
async function openFile(page: Page, name: string, bytes: Uint8Array): Promise<{ ms: number; problem: string | null }> {
  const base64 = Buffer.from(bytes).toString('base64')
  return page.evaluate(`(async () => {
    const { store, commands } = window.greycoat
    commands.dismissProblem()
    const data = Uint8Array.from(atob(${JSON.stringify(base64)}), c => c.charCodeAt(0))
    const started = performance.now()
    await commands.openFiles([new File([data], ${JSON.stringify(name)})])
    return { ms: performance.now() - started, problem: store.getState().session.problem?.code ?? null }
  })()`) as Promise<{ ms: number; problem: string | null }>
}
