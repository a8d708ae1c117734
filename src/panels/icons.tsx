/** Our own line drawings on a 16 × 16 grid. Decoration only: every control that carries one has a label. */
const PATHS = {
  undo: 'M6 3 2.5 6.5 6 10 M2.5 6.5H10a3.5 3.5 0 0 1 0 7H6.5',
  redo: 'M10 3l3.5 3.5L10 10 M13.5 6.5H6a3.5 3.5 0 0 0 0 7h3.5',
  plus: 'M8 3v10 M3 8h10',
  minus: 'M3 8h10',
  close: 'M4 4l8 8 M12 4l-8 8',
  right: 'M6 3.5 10.5 8 6 12.5',
  down: 'M3.5 6 8 10.5 12.5 6',
  left: 'M10 3.5 5.5 8 10 12.5',
  tick: 'M3 8.5 6.5 12 13 4.5',
  grip: 'M6 4v.01 M10 4v.01 M6 8v.01 M10 8v.01 M6 12v.01 M10 12v.01',
  eye: 'M1.5 8S4 3.5 8 3.5 14.5 8 14.5 8 12 12.5 8 12.5 1.5 8 1.5 8Z M8 6.2a1.8 1.8 0 1 0 0 3.6 1.8 1.8 0 0 0 0-3.6Z',
  'eye-off':
    'M2.5 2.5l11 11 M6.2 4A7 7 0 0 1 8 3.5c4 0 6.5 4.5 6.5 4.5a12 12 0 0 1-2 2.5 M4 5.2A12 12 0 0 0 1.5 8S4 12.5 8 12.5a7 7 0 0 0 2.3-.4',
  more: 'M3.5 8v.01 M8 8v.01 M12.5 8v.01',
  link: 'M6.8 9.2a2.5 2.5 0 0 0 3.6 0l2.4-2.4a2.55 2.55 0 0 0-3.6-3.6L8.4 4 M9.2 6.8a2.5 2.5 0 0 0-3.6 0L3.2 9.2a2.55 2.55 0 0 0 3.6 3.6l.8-.8',
  caution: 'M8 2.2 14.6 13.5H1.4Z M8 6.3v3.4 M8 11.6v.01',
  lamp: 'M5.6 9.7a3.9 3.9 0 1 1 4.8 0c-.6.5-.8 1-.8 1.6H6.4c0-.6-.2-1.1-.8-1.6Z M6.6 13.6h2.8',
  panel: 'M2.5 3h11v10h-11Z M10 3v10',
} as const

export type IconName = keyof typeof PATHS

export function Icon({ name }: { readonly name: IconName }) {
  return (
    <svg className={`glyph glyph-${name}`} viewBox="0 0 16 16" aria-hidden="true">
      <path d={PATHS[name]} strokeWidth={name === 'grip' || name === 'more' ? 2.2 : undefined} />
    </svg>
  )
}
