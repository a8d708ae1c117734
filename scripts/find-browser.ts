import { execFileSync, spawnSync } from 'node:child_process'
import { existsSync } from 'node:fs'
import { delimiter, join } from 'node:path'
import { chromium } from 'playwright-core'

/** Programs that are a Chrome or Chromium, by the names systems give them. */
const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome']
const PLACES = [
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
  'C:\\Program Files (x86)\\Google\\Chrome\\Application\\chrome.exe',
]

/** Path of a Chrome or Chromium on this machine, or null. `CHROME_PATH` wins. */
export function findBrowser(): string | null {
  const named = process.env.CHROME_PATH
  if (named) return existsSync(named) ? named : null
  for (const folder of (process.env.PATH ?? '').split(delimiter)) {
    for (const name of NAMES) {
      const path = join(folder, process.platform === 'win32' ? `${name}.exe` : name)
      if (existsSync(path)) return path
    }
  }
  const known = PLACES.find(path => existsSync(path))
  if (known) return known
  const own = chromium.executablePath()
  return existsSync(own) ? own : null
}

/** As findBrowser, but gets one where there is none: from Debian's packages as root, else by the browser tool's own download. */
export function findOrGetBrowser(): string | null {
  const there = findBrowser()
  if (there) return there
  console.error('No Chrome or Chromium here; getting one for the browser tests …')
  const run = (command: string, args: string[]) =>
    spawnSync(command, args, { stdio: ['ignore', process.stderr, process.stderr] }).status === 0
  if (existsSync('/etc/debian_version') && process.getuid?.() === 0) {
    run('apt-get', ['update', '-qq']) && run('apt-get', ['install', '-y', '-qq', '--no-install-recommends', 'chromium'])
  } else {
    run(process.execPath, [join('node_modules', 'playwright-core', 'cli.js'), 'install', 'chromium'])
  }
  return findBrowser()
}

/** Version line of a browser, for reports. */
export function browserVersion(path: string): string {
  try {
    return execFileSync(path, ['--version'], { encoding: 'utf8' }).trim()
  } catch {
    return path
  }
}
