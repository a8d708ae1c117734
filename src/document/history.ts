/** Undo is a list of documents: they are small and immutable, so it cannot be wrong. */
export interface History<D> {
  readonly past: readonly { readonly document: D; readonly label: string }[]
  readonly present: D
  readonly future: readonly { readonly document: D; readonly label: string }[]
  /** Key of the gesture whose changes still fold into the last entry, or null. */
  readonly gesture: string | null
}
