/**
 * Every ArrayBuffer reachable from plain data, once each: the transfer list of a message. What is shared is left alone.
 * @throws Error on a view of a part of its buffer: moving it would take its neighbours along
 */
export function buffersOf(value: unknown, found = new Set<ArrayBuffer>()): ArrayBuffer[] {
  if (ArrayBuffer.isView(value)) {
    if (value.buffer instanceof ArrayBuffer) {
      if (value.byteLength !== value.buffer.byteLength)
        throw new Error('a partial view cannot be moved: slice() it first')
      found.add(value.buffer)
    }
  } else if (value instanceof Map) {
    for (const child of value.values()) buffersOf(child, found)
  } else if (typeof value === 'object' && value !== null) {
    for (const child of Object.values(value)) buffersOf(child, found)
  }
  return [...found]
}
