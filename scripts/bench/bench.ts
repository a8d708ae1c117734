import { adviceBenches } from './advice-benches.ts'
import { bakeBenches } from './bake-benches.ts'
import { browserBenches } from './browser-benches.ts'
import { colourBenches } from './colour-benches.ts'
import { loadBenches } from './load-benches.ts'

/**
 * `npm run bench [-- NAME…]`: prints one JSON line per figure. Seeded; where a figure is a comparison, the peer runs in
 * the same process. Needs an idle machine to mean anything.
 */
const benches = { ...loadBenches, ...bakeBenches, ...adviceBenches, ...colourBenches, ...browserBenches }

const names = process.argv.slice(2)
const unknown = names.filter(name => !(name in benches))
if (unknown.length > 0) {
  console.error(`No figure is called ${unknown.join(', ')}. There are: ${Object.keys(benches).join(', ')}.`)
  process.exit(2)
}
for (const name of names.length > 0 ? names : Object.keys(benches)) {
  try {
    const { value, unit, note } = await benches[name]()
    console.log(JSON.stringify({ figure: name, value: Number(value.toPrecision(4)), unit, ...(note ? { note } : {}) }))
  } catch (thrown) {
    console.log(
      JSON.stringify({
        figure: name,
        value: null,
        unit: '',
        note: `not run: ${thrown instanceof Error ? thrown.message : thrown}`,
      }),
    )
  }
}
process.exit(0)
