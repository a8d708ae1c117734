import { existsSync } from 'node:fs'
import { preview } from 'vite'

/**
 * Serves the built site on localhost with the headers that make the page cross-origin isolated.
 * @param port 0 takes any free one
 * @returns its address, and how to stop it
 */
export async function serveSite(port = 0): Promise<{ address: string; close: () => Promise<void> }> {
  if (!existsSync('dist/index.html')) throw new Error('dist/ is missing: run `npm run build` first')
  const server = await preview({
    logLevel: 'error',
    preview: {
      port,
      strictPort: false,
      host: 'localhost',
      headers: { 'Cross-Origin-Opener-Policy': 'same-origin', 'Cross-Origin-Embedder-Policy': 'require-corp' },
    },
  })
  const at = server.httpServer.address()
  if (at === null || typeof at === 'string') throw new Error('the preview server has no port')
  return { address: `http://localhost:${at.port}/`, close: () => server.close() }
}
