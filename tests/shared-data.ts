import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

/**
 * Path of check data that lies beside the project, or null where it is absent: tests that need it then say `not run`.
 * Someone who clones the project alone sees every other test pass.
 */
export function sharedPath(name: string): string | null {
  const path = fileURLToPath(new URL(`../../shared/${name}`, import.meta.url))
  return existsSync(path) ? path : null
}
