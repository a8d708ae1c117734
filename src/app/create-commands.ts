import type { StoreApi } from 'zustand/vanilla'
import type { Placement } from '../core/mesh/placement.ts'
import { lightingCoats, torchFrom } from '../core/reading/remedies.ts'
import type { Torch } from '../core/recipe/recipe.ts'
import type { Compare } from '../document/document.ts'
import { saveDocument, saveRecipe } from '../document/document-file.ts'
import { renameArea, setMeantDark } from '../document/edit-areas.ts'
import * as coats from '../document/edit-recipe.ts'
import * as torches from '../document/edit-torches.ts'
import { startHistory } from '../document/history.ts'
import {
  type LessonId,
  lessonDocument,
  lessonOf,
  solidFigure,
  TAUGHT_COAT,
  taskAsSet,
  taskDocument,
  torchCoat,
} from '../document/lessons.ts'
import { NAMED_VIEWS } from '../document/named-views.ts'
import { firstTask, type GuessTask, saveTask } from '../document/task-file.ts'
import { type AppState, ownHistory, PRIMER, type Session } from './app-state.ts'
import type { Commands } from './commands.ts'
import { type Editor, TYPING } from './edit-document.ts'

/** What the commands cannot do by editing: reading files, asking the picture. */
export type Work = Pick<
  Commands,
  | 'openFiles'
  | 'openBuiltIn'
  | 'builtInFigures'
  | 'cancelIntake'
  | 'hover'
  | 'armsLength'
  | 'turnedPortraits'
  | 'exportGlb'
  | 'scanAngles'
  | 'scanLights'
  | 'cancelScan'
  | 'checkSides'
  | 'cancelSideCheck'
  | 'findAreas'
  | 'cancelFindingAreas'
  | 'readSpectra'
  | 'brushGuess'
  | 'judgeGuess'
>

const OVER_FLAT: Compare = { kind: 'flat', arrangement: { kind: 'side-by-side' }, greyY: null }

export function createCommands(store: StoreApi<AppState>, editor: Editor, work: Work): Commands {
  const { change, changeRecipe } = editor
  const setSession = (patch: Partial<Session>) => store.setState(state => ({ session: { ...state.session, ...patch } }))
  /** What is saved is the user's own work, also while a lesson stands. */
  const ownDocument = () => ownHistory(store.getState()).present

  return {
    undo: editor.undo,
    redo: editor.redo,
    endGesture: editor.endGesture,

    ...work,
    setPlacement(patch) {
      change('Place figure', document => {
        const placement = coats.patched(document.figure.placement, squared(document.figure.placement, patch))
        if (placement === document.figure.placement) return document
        return { ...document, figure: { ...document.figure, placement } }
      })
    },
    setRefinement(patch) {
      change('Refine edges', document => {
        const refinement = coats.patched(document.figure.refinement, patch)
        if (refinement === document.figure.refinement) return document
        return { ...document, figure: { ...document.figure, refinement } }
      })
    },

    addCoat(kind, paint) {
      let made = ''
      changeRecipe('Add coat', (r, nextId) => {
        const added = coats.addCoat(r, kind, paint, nextId)
        made = added.id
        return added.recipe
      })
      setSession({ openCoat: made, selectedTorch: null })
      return made
    },
    duplicateCoat(id) {
      let made: string | null = null
      changeRecipe('Duplicate coat', (r, nextId) => {
        const copied = coats.duplicateCoat(r, id, nextId)
        made = copied.id
        return copied.recipe
      })
      if (made !== null) setSession({ openCoat: made, selectedTorch: null })
    },
    deleteCoat: id => changeRecipe('Delete coat', r => coats.deleteCoat(r, id)),
    moveCoat: (id, toIndex) => changeRecipe('Move coat', r => coats.moveCoat(r, id, toIndex)),
    renameCoat: (id, name) =>
      changeRecipe('Rename coat', r => coats.changeCoat(r, id, c => coats.patched(c, { name }))),
    hideCoat: (id, hidden) =>
      changeRecipe(hidden ? 'Hide coat' : 'Show coat', r => coats.changeCoat(r, id, c => coats.patched(c, { hidden }))),
    setMix: (id, patch, gesture) =>
      changeRecipe(
        'Thin paint',
        r =>
          coats.changeCoat(r, id, c =>
            c.kind === 'varnish' ? c : coats.patched(c, { mix: coats.patched(c.mix, patch) }),
          ),
        gesture,
      ),
    setAirbrush: (id, patch, gesture) =>
      changeRecipe(
        'Set airbrush',
        r =>
          coats.changeCoat(r, id, c =>
            c.kind === 'mist' ? coats.patched(c, { airbrush: coats.patched(c.airbrush, patch) }) : c,
          ),
        gesture,
      ),
    setPasses: (id, passes, gesture) => changeRecipe('Set passes', r => coats.setPasses(r, id, passes), gesture),
    setThickness: (id, thicknessUm, gesture) =>
      changeRecipe(
        'Set thickness',
        r => coats.changeCoat(r, id, c => (c.kind === 'even' ? coats.patched(c, { thicknessUm }) : c)),
        gesture,
      ),
    setFinish: (id, finish) => changeRecipe('Change finish', r => coats.setFinish(r, id, finish)),
    setPartState: (id, part, state) => changeRecipe('Change part', r => coats.setPartState(r, id, part, state)),
    setPreshadeEnd: id => changeRecipe('Mark pre-shade', r => coats.setPreshadeEnd(r, id)),
    setPrimer: patch => changeRecipe('Change primer', r => coats.setPrimer(r, patch)),
    putPaint: (paint, onto) =>
      changeRecipe('Change paint', r => {
        const own = coats.addPaint(r, paint)
        return onto === PRIMER
          ? coats.setPrimer(own, { paint: paint.id })
          : coats.changeCoat(own, onto, c => (c.kind === 'varnish' ? c : coats.patched(c, { paint: paint.id })))
      }),
    openPaint: task => setSession({ dialog: 'paint', paintTask: task }),
    setRecipe: (next, label) => changeRecipe(label, () => next),
    setNotes: notes => changeRecipe('Write notes', r => coats.patched(r, { notes }), TYPING),

    addTorch(coat) {
      let made: string | null = null
      changeRecipe('Add torch', (r, nextId) => {
        const added = torches.addTorch(r, coat, nextId)
        made = added.id
        return added.recipe
      })
      if (made === null) return ''
      setSession({ openCoat: coat, selectedTorch: made })
      return made
    },
    applyTorchSet: (coat, set) =>
      changeRecipe('Place torches', (r, nextId) => torches.applyTorchSet(r, coat, set, nextId)),
    placeTorches(coat, places) {
      changeRecipe('Make torches', (r, nextId) => torches.placeTorches(r, coat, places, nextId))
    },
    duplicateTorch(id) {
      let made: string | null = null
      changeRecipe('Duplicate torch', (r, nextId) => {
        const copied = torches.duplicateTorch(r, id, nextId)
        made = copied.id
        return copied.recipe
      })
      if (made !== null) setSession({ selectedTorch: made })
    },
    deleteTorch: id => changeRecipe('Delete torch', r => torches.deleteTorch(r, id)),
    setTorch: (id, patch, gesture) => changeRecipe(torchLabel(patch), r => torches.patchTorch(r, id, patch), gesture),
    linkTorch: (id, to) =>
      changeRecipe(to === null ? 'Unlink torches' : 'Link torches', r => torches.linkTorches(r, id, to)),

    setCamera: camera => editor.amend(document => coats.patched(document, { camera })),
    goToView: view => editor.amend(document => coats.patched(document, { camera: NAMED_VIEWS[view] })),
    setLook: look =>
      change('Change look', document => {
        // A difference needs two sides: over one flat grey unless something is compared already.
        const compare = look.kind === 'difference' && document.compare.kind === 'off' ? OVER_FLAT : document.compare
        return coats.patched(document, { look, compare })
      }),
    setLamp: (lamp, gesture) => change('Change lamp', document => coats.patched(document, { lamp }), gesture),
    setIlluminant: illuminant => change('Change light', document => coats.patched(document, { illuminant })),
    setCompare: (compare, gesture) =>
      change(
        'Compare',
        document => {
          const alone = compare.kind === 'off' && document.look.kind === 'difference'
          return coats.patched(document, { compare, look: alone ? { kind: 'painted' } : document.look })
        },
        gesture,
      ),
    setThresholds: patch =>
      change('Set thresholds', document =>
        coats.patched(document, { thresholds: coats.patched(document.thresholds, patch) }),
      ),

    applyRemedy(remedy) {
      if (remedy.kind === 'part')
        return changeRecipe('Spray part apart', r =>
          lightingCoats(r).reduce((before, { id }) => coats.setPartState(before, id, remedy.partId, 'apart'), r),
        )
      changeRecipe('Add torch', (r, nextId) => {
        const coat = lightingCoats(r).at(-1)
        const torch = coat && torchFrom(coat, remedy)
        return torch ? torches.addTorchLike(r, coat.id, torch, nextId) : r
      })
    },
    renameArea: (id, name) => change('Rename area', document => renameArea(document, id, name)),
    setMeantDark: (id, meantDark) =>
      change(meantDark ? 'Let area stay dark' : 'Want area lit', document => setMeantDark(document, id, meantDark)),
    learn: lesson => store.setState(state => learning(state, lesson)),
    learnOn: solid => {
      const { aside } = store.getState().session.learning ?? {}
      if (!aside) return
      const figure = solid === 'mine' ? aside.present.figure : solidFigure(solid)
      editor.amend(document => coats.patched(document, { figure }))
    },
    practise: task =>
      store.setState(state => {
        const figure = ownHistory(state).present.figure
        return practising(state, task ?? { ...firstTask(), figure })
      }),
    setGuess: patch => {
      const { guess } = store.getState().session
      if (guess) setSession({ guess: { ...guess, ...patch } })
    },
    taskFile: () => {
      const { task } = store.getState().session.guess ?? { task: firstTask() }
      return { fileName: `${fileStem(task.title)}.task.json`, text: saveTask(taskAsSet(task, editor.document())) }
    },
    setLesson: (apply, gesture) => change('Move', apply, gesture),
    stopLearning: () =>
      store.setState(state => {
        const { history, session } = learning(state, null)
        return { history, session: { ...session, learning: null } }
      }),

    select: patch => setSession(patch),
    dismissProblem: () => setSession({ problem: null }),
    setPreferences: patch => store.setState(state => ({ preferences: { ...state.preferences, ...patch } })),

    documentFile: () => ({
      fileName: `${fileStem(ownDocument().recipe.name)}.greycoat.json`,
      text: saveDocument(ownDocument()),
    }),
    recipeFile: () => ({
      fileName: `${fileStem(ownDocument().recipe.name)}.recipe.json`,
      text: saveRecipe(ownDocument().recipe),
    }),
    announce: notice => setSession({ notice }),
  }
}

/** A lesson, or the list, in the place of whatever stood; the user's own work lies aside until it is asked back. */
function learning(state: AppState, id: LessonId | null): Pick<AppState, 'history' | 'session'> {
  const own = ownHistory(state)
  const session: Session = {
    ...state.session,
    dialog: null,
    openCoat: null,
    selectedTorch: null,
    gesture: null,
    hover: null,
    guess: null,
    learning: { lesson: id, aside: id === null ? null : own },
  }
  if (id === null) return { history: own, session }
  const lesson = lessonOf(id)
  const history = startHistory(lessonDocument(lesson, solidFigure(lesson.solids[0])))
  return { history, session: { ...session, openCoat: torchCoat(lesson) } }
}

/** A task to guess in the place of whatever stood. */
function practising(state: AppState, task: GuessTask): Pick<AppState, 'history' | 'session'> {
  const { session } = learning(state, null)
  return {
    history: startHistory(taskDocument(task)),
    session: {
      ...session,
      openCoat: TAUGHT_COAT,
      learning: { lesson: 'guess', aside: ownHistory(state) },
      guess: { task, tool: 'paint', brushMm: task.figure.placement.heightMm / 20, score: null, shows: 'guess' },
    },
  }
}

/** Front stays square to up: turning one into the line of the other turns the other as well. */
function squared(before: Placement, patch: Partial<Placement>): Partial<Placement> {
  const { up, front } = { ...before, ...patch }
  if (up[1] !== front[1]) return patch
  if (patch.front !== undefined && patch.up === undefined)
    return { ...patch, up: before.front[1] === front[1] ? anotherAxis(front[1]) : before.front }
  return { ...patch, front: before.up[1] === up[1] ? anotherAxis(up[1]) : before.up }
}

const anotherAxis = (letter: string): Placement['front'] => (letter === 'z' ? '+y' : '+z')

/** Fit for a file name on every system. */
const fileStem = (name: string): string =>
  name
    .normalize('NFKD')
    .replace(/[^A-Za-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 60)
    .toLowerCase() || 'greycoat'

/** What a change of a torch is called in the undo menu. */
function torchLabel(patch: Partial<Torch>): string {
  if (patch.passes !== undefined) return 'Set passes'
  if (patch.name !== undefined) return 'Rename torch'
  if (patch.muted !== undefined) return patch.muted ? 'Switch torch off' : 'Switch torch on'
  return 'Move torch'
}
