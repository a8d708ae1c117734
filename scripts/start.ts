import { build } from 'vite'
import { serveSite } from './serve-site.ts'

/** `npm start`: builds the page, serves it on localhost, prints the address, and stays until Ctrl+C. */
await build({ logLevel: 'warn' })
const { address } = await serveSite(Number(process.env.PORT ?? 4173))
console.log(`\nGreycoat is ready at ${address}\nThe demo figure is loaded, pre-shaded and glazed. Ctrl+C stops it.`)
