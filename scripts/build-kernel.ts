import { readFileSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import asc from 'assemblyscript/asc'

/** Compiles the depth kernel to WebAssembly with SIMD. Deterministic: the same source gives the same bytes. */
export async function compileKernel(): Promise<Uint8Array> {
  const source = readFileSync(new URL('../src/core/spray/depth-kernel.as.ts', import.meta.url), 'utf8')
  let bytes: Uint8Array | null = null
  const { error, stderr } = await asc.main(
    [
      'depth-kernel.ts',
      '--outFile',
      'depth-kernel.wasm',
      '--optimizeLevel',
      '3',
      '--shrinkLevel',
      '0',
      '--converge',
      '--noAssert',
      '--runtime',
      'stub',
      '--importMemory',
      '--enable',
      'simd',
    ],
    {
      readFile: name => (name === 'depth-kernel.ts' ? source : null),
      writeFile: (name, contents) => {
        if (name === 'depth-kernel.wasm') bytes = contents as Uint8Array
      },
      listFiles: () => [],
    },
  )
  if (error || !bytes) throw new Error(`kernel does not compile: ${error?.message}\n${stderr.toString()}`)
  return bytes
}

/** The module that carries the kernel. */
export const kernelModuleText = (bytes: Uint8Array): string =>
  `// Written by \`npm run kernel\` from depth-kernel.as.ts. Do not edit.\nexport const DEPTH_KERNEL_BASE64 =\n  '${Buffer.from(bytes).toString('base64')}'\n`

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const bytes = await compileKernel()
  writeFileSync(new URL('../src/core/spray/depth-kernel.generated.ts', import.meta.url), kernelModuleText(bytes))
  console.error(`depth-kernel.generated.ts: ${bytes.length} bytes of WebAssembly`)
}
