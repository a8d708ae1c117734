import react from '@vitejs/plugin-react'
import { defineConfig } from 'vitest/config'

/** The page is src/index.html; models/ is served as it stands, so that the built-in figures are plain files beside the page. */
export default defineConfig({
  root: 'src',
  cacheDir: '../node_modules/.vite',
  base: './',
  publicDir: '../models',
  plugins: [react()],
  build: { outDir: '../dist', emptyOutDir: true, target: 'es2023', sourcemap: false, chunkSizeWarningLimit: 2500 },
  worker: { format: 'es' },
  // Cross-origin isolation is what makes SharedArrayBuffer available; everything works without it.
  server: { headers: { 'Cross-Origin-Opener-Policy': 'same-origin', 'Cross-Origin-Embedder-Policy': 'require-corp' } },
  test: {
    projects: [
      {
        extends: true,
        root: import.meta.dirname,
        test: {
          name: 'unit',
          include: ['src/**/*.test.ts', 'tests/*.test.ts', 'tests/corpus/**/*.test.ts'],
          environment: 'node',
          testTimeout: 30_000,
          // One a core; the browser's tests come after, one at a time, as a page takes all cores itself.
          maxWorkers: '100%',
          sequence: { groupOrder: 0 },
        },
      },
      {
        extends: true,
        root: import.meta.dirname,
        test: {
          name: 'browser',
          include: ['tests/browser/**/*.test.ts'],
          environment: 'node',
          testTimeout: 120_000,
          hookTimeout: 180_000,
          fileParallelism: false,
          sequence: { groupOrder: 1 },
        },
      },
    ],
  },
})
