import { existsSync, readFileSync, writeFileSync } from 'node:fs'

/** `npm run licences`: writes docs/third-party-licences.md from what is installed. A test fails when it is out of date. */
interface LockEntry {
  readonly version?: string
  readonly dev?: boolean
  readonly optional?: boolean
  readonly license?: string
}

export function licenceTable(): string {
  const lock = JSON.parse(readFileSync('package-lock.json', 'utf8')) as { packages: Record<string, LockEntry> }
  const rows = (dev: boolean) =>
    Object.entries(lock.packages)
      .filter(([path, entry]) => path.startsWith('node_modules/') && Boolean(entry.dev) === dev && !entry.optional)
      .map(
        ([path, entry]) =>
          `| ${path.replace(/^.*node_modules\//, '')} | ${entry.version} | ${entry.license ?? licenceInPackage(path)} |`,
      )
      .sort()
  const table = (lines: string[]) => ['| package | version | licence |', '|---|---|---|', ...lines].join('\n')
  return `# Third-party licences

Written by \`npm run licences\` from \`package-lock.json\`; each package carries its licence text in \`node_modules\`.

## In the built page and the command line

${table(rows(false))}

## Only for building and testing

${table(rows(true))}
`
}

function licenceInPackage(path: string): string {
  const file = `${path}/package.json`
  if (!existsSync(file)) return 'see package'
  const { license } = JSON.parse(readFileSync(file, 'utf8')) as { license?: string | { type: string } }
  return typeof license === 'string' ? license : (license?.type ?? 'see package')
}

if (import.meta.filename === process.argv[1]) writeFileSync('docs/third-party-licences.md', licenceTable())
