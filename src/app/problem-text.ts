import type { IntakeNote } from '../core/mesh/file-mesh.ts'
import type { FileLimit, Problem, ProblemCode } from '../core/problem.ts'

export interface Words {
  /** What is the matter, one short line. */
  readonly title: string
  /** What to do about it, one sentence. */
  readonly advice: string
}

type ProblemOf<C extends ProblemCode> = Extract<Problem, { readonly code: C }>

const TEXT: { readonly [C in ProblemCode]: (problem: ProblemOf<C>) => Words } = {
  'file/empty': p => ({
    title: `${p.fileName} is empty`,
    advice: 'Export it again from the program it came from.',
  }),
  'file/unsupported': p => ({
    title: `${p.fileName} cannot be opened`,
    advice: 'Its content is no mesh of a kind known here. Export the figure as STL, OBJ, PLY, GLB, glTF or 3MF.',
  }),
  'file/damaged': p => ({
    title: `${p.fileName} is damaged`,
    advice: `Export or download it again.${sentence(p.detail)}`,
  }),
  'file/too-large': p => ({
    title: isBytes(p.what) ? `${p.fileName} is too large` : `${p.fileName} has too many ${LIMIT_WORDS[p.what]}`,
    advice: `Export a simpler version: it has ${amount(p.found, p.what)}, and ${amount(p.limit, p.what)} is the most.`,
  }),
  'file/needs': p => ({
    title: `${p.fileName} needs ${p.missing}`,
    advice: `Drop ${p.missing} together with it, or export one self-contained GLB file.`,
  }),
  'file/encrypted': p => ({
    title: `${p.fileName} is encrypted`,
    advice: 'Save it again without a password.',
  }),
  'file/extension-missing': p => ({
    title: `${p.fileName} uses ${p.extension}`,
    advice: 'This glTF extension is not supported; export without it, or as STL.',
  }),
  'file/timed-out': p => ({
    title: `${p.fileName} took longer than ${p.seconds} seconds`,
    advice: 'Reading was stopped; export a simpler version, or another format.',
  }),
  'mesh/no-triangles': p => ({
    title: `${p.fileName} has no surface`,
    advice: 'Export the figure as a mesh of triangles or polygons, not as points or lines.',
  }),
  'mesh/zero-size': p => ({
    title: `${p.fileName} has no extent`,
    advice: 'All its points lie in one place or on one line; export the figure again.',
  }),
  'mesh/not-finite': p => ({
    title: `${p.fileName} has ${count(p.count)} impossible coordinates`,
    advice: 'Export it again; some coordinates are not numbers or are infinite.',
  }),
  'mesh/index-out-of-range': p => ({
    title: `${p.fileName} is damaged`,
    advice: `Export it again; a triangle uses point ${count(p.index)} of only ${count(p.vertices)}.`,
  }),
  'spectra/unusable': p => ({
    title: `${p.fileName} has no colours that can be used`,
    advice: `Export it as CGATS text with reflectance from 400 to 700 nm, or with Lab or XYZ.${sentence(p.detail)}`,
  }),
  'document/not-ours': p => ({
    title: `${p.fileName} is not a Greycoat file`,
    advice: `Choose a file that was saved here, or a mesh: ${p.detail}.`,
  }),
  'document/newer': p => ({
    title: `${p.fileName} was saved by a newer Greycoat`,
    advice: `It has version ${p.found}, this page reads up to ${p.supported}: reload the page to get the newest one.`,
  }),
  'document/invalid': p => ({
    title: `${p.fileName} is damaged`,
    advice: `Open an earlier copy. At ${p.path}: ${p.detail}.`,
  }),
  'document/figure-missing': p => ({
    title: `The figure ${p.fileName} is not here`,
    advice: `Drop ${p.fileName} on the page; recipe, torches and views are kept.`,
  }),
  'storage/full': () => ({
    title: 'This browser has no room left to keep your work',
    advice: 'Save it as a file now, then free space in the browser.',
  }),
  'storage/unavailable': () => ({
    title: 'This browser keeps nothing for this page',
    advice: 'Save your work as a file before you close it; private windows and blocked site data cause this.',
  }),
  'graphics/unavailable': () => ({
    title: 'The figure cannot be drawn',
    advice: 'Switch on hardware acceleration or WebGL2 in the browser, or try another browser.',
  }),
  'worker/crashed': p => ({
    title: 'A computation stopped',
    advice: `It was started anew (${p.during}). If this comes back, use fewer vertices or close other pages.`,
  }),
  internal: p => ({
    title: 'Something broke on our side',
    advice: `Save your work as a file and reload the page.${sentence(p.detail)}`,
  }),
}

/** Words for a problem: the only place that has any. */
export const problemText = (problem: Problem): Words => (TEXT[problem.code] as (p: Problem) => Words)(problem)

const NOTE_TEXT: { readonly [K in IntakeNote['kind']]: (n: string, one: boolean) => Words } = {
  welded: n => ({ title: `${n} points joined`, advice: 'Points in the same place became one; nothing to do.' }),
  'degenerate-dropped': (n, one) => ({
    title: `${n} empty ${one ? 'triangle' : 'triangles'} left out`,
    advice: 'They had no area; nothing to do.',
  }),
  'non-finite-dropped': (n, one) => ({
    title: `${n} ${one ? 'triangle' : 'triangles'} with impossible coordinates left out`,
    advice: 'Look for holes; if there are any, export the figure again.',
  }),
  'polygons-split': (n, one) => ({
    title: `${n} ${one ? 'polygon' : 'polygons'} split into triangles`,
    advice: 'Nothing to do.',
  }),
  'lines-and-points-ignored': (n, one) => ({
    title: `${n} loose ${one ? 'line or point' : 'lines and points'} left out`,
    advice: 'They have no surface to paint; nothing to do.',
  }),
  'unsupported-ignored': (n, one) => ({
    title: `${n} ${one ? 'thing' : 'things'} in the file left out`,
    advice: 'Check that no part of the figure is missing; if one is, export it as STL.',
  }),
  'open-edges': (n, one) => ({
    title: `${n} open ${one ? 'edge' : 'edges'}`,
    advice: 'Spray may reach the inside through the gaps; close them where it shows.',
  }),
  'edges-refined': (n, one) => ({
    title: `${n} long ${one ? 'edge' : 'edges'} split`,
    advice: 'So that shadow edges are sharp; the shape is unchanged.',
  }),
  'refinement-capped': (n, one) => ({
    title: `${n} ${one ? 'edge stays' : 'edges stay'} longer than wanted`,
    advice: 'Raise the vertex budget for sharper shadows, at the price of speed.',
  }),
  'turned-inside-out': () => ({
    title: 'The surface was inside out',
    advice: 'It was turned; nothing to do.',
  }),
}

/** Words for something that was met while reading a figure. */
export const intakeNoteText = (note: IntakeNote): Words => NOTE_TEXT[note.kind](count(note.count), note.count === 1)

const LIMIT_WORDS: { readonly [L in FileLimit]: string } = {
  bytes: 'bytes',
  'inflated bytes': 'bytes',
  triangles: 'triangles',
  vertices: 'points',
  parts: 'parts',
  depth: 'levels of nesting',
}

const count = (n: number): string => n.toLocaleString('en-GB')

const isBytes = (what: FileLimit): boolean => what === 'bytes' || what === 'inflated bytes'

const amount = (n: number, what: FileLimit): string =>
  isBytes(what)
    ? `${count(Math.ceil(n / 2 ** 20))} MB${what === 'bytes' ? '' : ' once unpacked'}`
    : `${count(n)} ${LIMIT_WORDS[what]}`

/** Details come as half sentences; one is said after another. */
const sentence = (detail: string): string =>
  detail ? ` ${detail[0].toUpperCase()}${detail.slice(1)}${/[.!?]$/.test(detail) ? '' : '.'}` : ''
