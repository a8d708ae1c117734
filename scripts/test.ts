import { spawnSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { browserVersion, findOrGetBrowser } from './find-browser.ts'

/**
 * `npm test`: format and lint, types, build, then every test. Browser tests run against the built page in a real
 * Chrome or Chromium; without one they are reported as not run, never as passed.
 */
const step = (title: string, command: string, args: string[], env: NodeJS.ProcessEnv = {}) => {
  console.log(`\n— ${title}`)
  const run = spawnSync(command, args, {
    stdio: ['ignore', 'inherit', 'inherit'],
    env: { ...process.env, ...env },
    shell: process.platform === 'win32',
  })
  return run.status === 0
}

const browser = findOrGetBrowser()
console.log(
  browser
    ? `Browser tests run in ${browserVersion(browser)}.`
    : 'No Chrome or Chromium could be found or fetched: install one (Debian: apt-get install chromium) or set CHROME_PATH, then run npm test again. Browser tests are not run.',
)

const results = join(tmpdir(), `greycoat-tests-${process.pid}.json`)
const passed = [
  step('lint and format', 'npx', ['biome', 'check', '.']),
  step('types', 'npx', ['tsc', '--noEmit']),
  step('build', 'npx', ['vite', 'build', '--logLevel', 'warn']),
  step(
    'tests',
    'npx',
    [
      'vitest',
      'run',
      '--reporter=default',
      '--reporter=json',
      `--outputFile.json=${results}`,
      ...process.argv.slice(2),
    ],
    {
      GREYCOAT_BROWSER: browser ?? '',
    },
  ),
].every(Boolean)

try {
  const { numPassedTests, numFailedTests, numPendingTests } = JSON.parse(readFileSync(results, 'utf8'))
  if (numPendingTests > 0)
    console.log(
      `\n${numPendingTests} tests were not run: what they need is not on this machine (named in their titles).`,
    )
  console.log(`\n${numPassedTests} passed, ${numFailedTests} failed, ${numPendingTests} skipped`)
} catch {
  console.log('\n0 passed, 1 failed')
}
process.exit(passed ? 0 : 1)
