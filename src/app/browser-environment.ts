import { createStore, del, get, set } from 'idb-keyval'
import { startBrowserWorker } from '../compute/start-browser-worker.ts'
import type { AppEnvironment } from './app-environment.ts'

/** The real thing: IndexedDB, module workers, the folder beside the page. */
export function browserEnvironment(): AppEnvironment {
  return {
    storage: browserStorage(),
    startWorker: startBrowserWorker,
    cores: navigator.hardwareConcurrency || 2,
    async fetchModel(fileName) {
      const answer = await fetch(new URL(fileName, document.baseURI))
      if (!answer.ok) throw new Error(`${fileName}: ${answer.status} ${answer.statusText}`)
      return new Uint8Array(await answer.arrayBuffer())
    },
    clock: {
      now: () => performance.now(),
      after(ms, run) {
        const timer = setTimeout(run, ms)
        return () => clearTimeout(timer)
      },
    },
    onHidden(run) {
      document.addEventListener('visibilitychange', () => {
        if (document.visibilityState === 'hidden') run()
      })
      // A reload does not hide the page in every browser.
      window.addEventListener('pagehide', run)
    },
  }
}

function browserStorage(): AppEnvironment['storage'] {
  // Opened on first use: where storage is switched off, opening throws, and that must reach the caller as a rejection.
  let store: ReturnType<typeof createStore> | undefined
  const opened = () => (store ??= createStore('greycoat', 'kept'))
  return {
    get: async key => get(key, opened()),
    set: async (key, value) => set(key, value, opened()),
    remove: async key => del(key, opened()),
  }
}
