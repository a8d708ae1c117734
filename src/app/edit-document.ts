import type { StoreApi } from 'zustand/vanilla'
import type { Recipe } from '../core/recipe/recipe.ts'
import type { GreycoatDocument } from '../document/document.ts'
import { documentSchema } from '../document/document-schema.ts'
import { amend, edit, endGesture, redo, undo } from '../document/history.ts'
import { type NextId, nextIdAfter } from '../document/ids.ts'
import { type AppState, PRIMER, type Session } from './app-state.ts'

/** The one writer of the document: every command's change goes through here. */
export interface Editor {
  document(): GreycoatDocument
  /** One undo step, or a part of the gesture's one. Does nothing where `apply` changes nothing. */
  change(label: string, apply: (document: GreycoatDocument) => GreycoatDocument, gesture?: string): void
  changeRecipe(label: string, apply: (recipe: Recipe, nextId: NextId) => Recipe, gesture?: string): void
  /** No step: for what undo leaves alone. */
  amend(apply: (document: GreycoatDocument) => GreycoatDocument): void
  undo(): void
  redo(): void
  endGesture(): void
}

/** A gesture that nothing lets go of: what is typed in one go is one step, but no pointer is down. */
export const TYPING = 'typing'

/** Undo leaves the camera where the eye is. */
const keepCamera = (from: GreycoatDocument, into: GreycoatDocument): GreycoatDocument =>
  from.camera === into.camera ? into : { ...into, camera: from.camera }

export function createEditor(store: StoreApi<AppState>): Editor {
  const document = () => store.getState().history.present

  /** What could not be opened again is never made: a number out of range leaves the document as it was. */
  const guarded = (apply: (document: GreycoatDocument) => GreycoatDocument) => (before: GreycoatDocument) => {
    const after = apply(before)
    return after === before || documentSchema.safeParse(after).success ? after : before
  }

  const change: Editor['change'] = (label, apply, gesture) =>
    store.setState(state => {
      const history = edit(state.history, { label, apply: guarded(apply), gesture })
      const held = gesture !== undefined && gesture !== TYPING ? gesture : state.session.gesture
      if (history === state.history && held === state.session.gesture) return state
      return { history, session: cleared({ ...state.session, gesture: held }, history.present.recipe) }
    })

  const step = (move: typeof undo<GreycoatDocument>) =>
    store.setState(state => {
      const history = move(state.history, keepCamera)
      if (history === state.history) return state
      return { history, session: cleared({ ...state.session, gesture: null }, history.present.recipe) }
    })

  return {
    document,
    change,
    changeRecipe(label, apply, gesture) {
      change(
        label,
        before => {
          const recipe = apply(before.recipe, nextIdAfter(before.recipe))
          return recipe === before.recipe ? before : dropMissingLook({ ...before, recipe })
        },
        gesture,
      )
    },
    amend(apply) {
      store.setState(state => {
        const history = amend(state.history, guarded(apply))
        return history === state.history ? state : { history }
      })
    },
    undo: () => step(undo),
    redo: () => step(redo),
    endGesture() {
      store.setState(state => {
        const history = endGesture(state.history)
        if (history === state.history && state.session.gesture === null) return state
        return { history, session: { ...state.session, gesture: null } }
      })
    },
  }
}

/** A deposit look at a coat that is gone shows all coats together. */
function dropMissingLook(document: GreycoatDocument): GreycoatDocument {
  const { look, recipe } = document
  const gone = look.kind === 'deposit' && look.coat !== null && !recipe.coats.some(c => c.id === look.coat)
  return gone ? { ...document, look: { kind: 'deposit', coat: null } } : document
}

/** Nothing stays selected that is not there. */
function cleared(session: Session, recipe: Recipe): Session {
  const coat =
    session.openCoat === null || session.openCoat === PRIMER || recipe.coats.some(c => c.id === session.openCoat)
  const torch =
    session.selectedTorch === null ||
    recipe.coats.some(c => c.kind === 'mist' && c.torches.some(t => t.id === session.selectedTorch))
  if (coat && torch) return session
  return { ...session, openCoat: coat ? session.openCoat : null, selectedTorch: torch ? session.selectedTorch : null }
}
