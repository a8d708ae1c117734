/** Undo is a list of documents: they are small and immutable, so it cannot be wrong. */
export interface History<D> {
  readonly past: readonly { readonly document: D; readonly label: string }[]
  readonly present: D
  readonly future: readonly { readonly document: D; readonly label: string }[]
  /** Key of the gesture whose changes still fold into the last entry, or null. */
  readonly gesture: string | null
}

export interface Edit<D> {
  /** Names the step in the menu: 'Move torch'. */
  readonly label: string
  readonly apply: (document: D) => D
  /** Set while a pointer drags; the changes of one drag are one step. */
  readonly gesture?: string | undefined
}

export const HISTORY_LIMIT = 200

export const startHistory = <D>(document: D): History<D> => ({ past: [], present: document, future: [], gesture: null })

/** An edit that hands back the very same document leaves no step. */
export function edit<D>(history: History<D>, { label, apply, gesture }: Edit<D>, limit = HISTORY_LIMIT): History<D> {
  const present = apply(history.present)
  if (present === history.present) return history
  const folds = gesture !== undefined && gesture === history.gesture
  const past = folds ? history.past : [...history.past, { document: history.present, label }].slice(-limit)
  return { past, present, future: [], gesture: gesture ?? null }
}

/** Changes the present without a step and without losing what could be redone: for what undo leaves alone. */
export function amend<D>(history: History<D>, apply: (document: D) => D): History<D> {
  const present = apply(history.present)
  return present === history.present ? history : { ...history, present }
}

export const endGesture = <D>(history: History<D>): History<D> =>
  history.gesture === null ? history : { ...history, gesture: null }

/** @param carry takes over from the document that is left (first) what undo must not bring back (into second) */
export function undo<D>(history: History<D>, carry: (from: D, into: D) => D = (_, into) => into): History<D> {
  const step = history.past.at(-1)
  if (!step) return history
  return {
    past: history.past.slice(0, -1),
    present: carry(history.present, step.document),
    future: [{ document: history.present, label: step.label }, ...history.future],
    gesture: null,
  }
}

/** @param carry as in `undo` */
export function redo<D>(history: History<D>, carry: (from: D, into: D) => D = (_, into) => into): History<D> {
  const [step, ...future] = history.future
  if (!step) return history
  return {
    past: [...history.past, { document: history.present, label: step.label }],
    present: carry(history.present, step.document),
    future,
    gesture: null,
  }
}
