import { readFileSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import asc from 'assemblyscript/asc'

/** Where each kernel lies, without its ending. */
const KERNELS = { depth: '../src/core/spray/depth-kernel', stack: '../src/core/chain/stack-kernel' } as const
export type KernelName = keyof typeof KERNELS

/** Compiles a kernel to WebAssembly with SIMD. Deterministic: the same source gives the same bytes. */
export async function compileKernel(kernel: KernelName = 'depth'): Promise<Uint8Array> {
  const source = readFileSync(new URL(`${KERNELS[kernel]}.as.ts`, import.meta.url), 'utf8')
  let bytes: Uint8Array | null = null
  const { error, stderr } = await asc.main(
    [
      'kernel.ts',
      '--outFile',
      'kernel.wasm',
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
      readFile: name => (name === 'kernel.ts' ? source : null),
      writeFile: (name, contents) => {
        if (name === 'kernel.wasm') bytes = contents as Uint8Array
      },
      listFiles: () => [],
    },
  )
  if (error || !bytes) throw new Error(`kernel does not compile: ${error?.message}\n${stderr.toString()}`)
  return bytes
}

/** The module that carries a kernel. */
export const kernelModuleText = (bytes: Uint8Array, kernel: KernelName = 'depth'): string =>
  `// Written by \`npm run kernel\` from ${kernel}-kernel.as.ts. Do not edit.\nexport const ${kernel.toUpperCase()}_KERNEL_BASE64 =\n  '${Buffer.from(bytes).toString('base64')}'\n`

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  for (const kernel of Object.keys(KERNELS) as KernelName[]) {
    const bytes = await compileKernel(kernel)
    writeFileSync(new URL(`${KERNELS[kernel]}.generated.ts`, import.meta.url), kernelModuleText(bytes, kernel))
    console.error(`${kernel}-kernel.generated.ts: ${bytes.length} bytes of WebAssembly`)
  }
}
