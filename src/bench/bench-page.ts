import type { AppHandle } from '../ui/use-app.ts'

const BENCHES: Record<string, (app: AppHandle) => Promise<object>> = {
  drag: async app => (await import('./drag-bench.ts')).dragBench(app),
  coats: async app => (await import('./coats-bench.ts')).coatsBench(app),
  agree: async app => (await import('./agreement-bench.ts')).agreementBench(app),
}

/** Runs one measurement in the page and prints one line that starts with RESULT. */
export async function runBench(name: string, app: AppHandle): Promise<void> {
  try {
    const run = BENCHES[name]
    if (!run) throw new Error(`there is no bench ${name}, only ${Object.keys(BENCHES).join(', ')}`)
    console.log(`RESULT ${JSON.stringify(await run(app))}`)
  } catch (thrown) {
    console.log(`RESULT ${JSON.stringify({ failed: String(thrown) })}`)
  }
}
