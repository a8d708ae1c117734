import type { FieldKey } from '../compute/protocol.ts'

export type FieldQuality = 'coarse' | 'refined'

/** What the paint worker holds, and what to let go when it holds too much: longest unused first. */
export class FieldIndex {
  private readonly limitBytes: number
  /** In order of use, oldest first. */
  private readonly held = new Map<FieldKey, { quality: FieldQuality; bytes: number }>()

  constructor(limitBytes: number) {
    this.limitBytes = limitBytes
  }

  qualityOf(key: FieldKey): FieldQuality | null {
    return this.held.get(key)?.quality ?? null
  }

  /** @returns keys to drop so that the limit holds; those in `needed` stay whatever they take */
  add(key: FieldKey, quality: FieldQuality, bytes: number, needed: ReadonlySet<FieldKey>): FieldKey[] {
    this.held.delete(key)
    this.held.set(key, { quality, bytes })
    let total = 0
    for (const field of this.held.values()) total += field.bytes
    const dropped: FieldKey[] = []
    for (const [old, field] of this.held) {
      // A coarse field that nobody needs was one moment of a drag: it will not come back.
      const spent = field.quality === 'coarse' || total > this.limitBytes
      if (!spent || needed.has(old)) continue
      this.held.delete(old)
      total -= field.bytes
      dropped.push(old)
    }
    return dropped
  }

  use(keys: Iterable<FieldKey>): void {
    for (const key of keys) {
      const field = this.held.get(key)
      if (!field) continue
      this.held.delete(key)
      this.held.set(key, field)
    }
  }

  clear(): void {
    this.held.clear()
  }
}
