import { useThree } from '@react-three/fiber'
import { useEffect, useLayoutEffect, useMemo } from 'react'
import { BufferAttribute, BufferGeometry, DynamicDrawUsage, Vector3 } from 'three'
import type { PaintedSide } from '../app/app-state.ts'
import { SURFACE_BYTES } from '../core/chain/shown-look.ts'
import type { Figure } from '../core/mesh/figure.ts'
import { directionFrom } from '../core/vec3.ts'
import type { Lamp } from '../document/document.ts'
import { type FigureMaterial, UNPAINTED_LIGHT } from './figure-material.ts'

/** Draws the figure with the colours of both sides. Computes nothing. */
export function FigureMesh(props: {
  readonly figure: Figure
  /** Fewer triangles over the same vertices, or null. */
  readonly fewTriangles: Uint32Array | null
  /** A hand holds something: speed before outline. */
  readonly coarse: boolean
  readonly main: PaintedSide | null
  readonly other: PaintedSide | null
  readonly lamp: Lamp
  /** Colours carry luminance and exposure: lines of equal exposure are drawn over the values. */
  readonly isolines: boolean
  readonly material: FigureMaterial
  /** The material finds its colours in textures: none are put on the geometry. */
  readonly fromTexels: boolean
}) {
  const { figure, fewTriangles, coarse, main, other, lamp, isolines, material, fromTexels } = props
  const invalidate = useThree(state => state.invalidate)
  const geometry = useMemo(() => geometryOf(figure), [figure])
  useEffect(() => () => geometry.dispose(), [geometry])

  useLayoutEffect(() => {
    const shown = fromTexels || showColours(geometry, 'sideMain', figure, main)
    // Where there is no other side yet, the seam shows the main one on both sides rather than a hole.
    if (!fromTexels) showColours(geometry, 'sideOther', figure, other ?? main)
    showSurface(geometry, 'surfaceMain', figure, main)
    showSurface(geometry, 'surfaceOther', figure, other ?? main)
    material.uniforms.painted.value = shown
    material.uniforms.isolines.value = isolines
    const direction = lamp.kind === 'lamp' ? directionFrom(lamp.azimuthDegrees, lamp.elevationDegrees) : null
    if (!shown) material.uniforms.light.value.copy(UNPAINTED_LIGHT)
    else material.uniforms.light.value.copy(direction ? new Vector3(...direction) : new Vector3())
    invalidate()
  }, [geometry, figure, main, other, lamp, isolines, material, fromTexels, invalidate])

  const indices = useMemo(
    () => ({
      all: geometry.getIndex(),
      few: fewTriangles && new BufferAttribute(fewTriangles, 1),
    }),
    [geometry, fewTriangles],
  )
  useLayoutEffect(() => {
    geometry.setIndex(coarse && indices.few ? indices.few : indices.all)
    invalidate()
  }, [geometry, indices, coarse, invalidate])

  return <mesh geometry={geometry} material={material} frustumCulled={false} />
}

/** Shares the figure's arrays with the renderer: no copy, and so no writing to them here. */
function geometryOf(figure: Figure): BufferGeometry {
  const geometry = new BufferGeometry()
  const positions = new BufferAttribute(figure.positions, 3)
  geometry.setAttribute('position', positions)
  geometry.setAttribute('normal', new BufferAttribute(figure.normals, 3))
  // Any attribute of the right length stands in until there are colours: 'painted' keeps it from being seen.
  geometry.setAttribute('sideMain', positions)
  geometry.setAttribute('sideOther', positions)
  for (const name of ['surfaceMain', 'surfaceOther'])
    geometry.setAttribute(name, new BufferAttribute(mattOf(figure), SURFACE_BYTES, true))
  geometry.setIndex(new BufferAttribute(figure.triangles, 1))
  return geometry
}

/**
 * Puts the colours of a side on the geometry. One GPU buffer per side for the life of the figure: a new answer is
 * written into it.
 * @returns false where the side belongs to another figure or is not there yet; the colours shown before stay
 */
function showColours(
  geometry: BufferGeometry,
  name: 'sideMain' | 'sideOther',
  figure: Figure,
  side: PaintedSide | null,
): boolean {
  const standIn = geometry.getAttribute('position')
  const attribute = geometry.getAttribute(name) as BufferAttribute
  const fits = side !== null && side.figureId === figure.id && side.linearRgb.length === figure.positions.length
  if (!fits) return attribute !== standIn
  if (attribute === standIn) {
    const own = new BufferAttribute(side.linearRgb, 3)
    own.setUsage(DynamicDrawUsage)
    geometry.setAttribute(name, own)
  } else if (attribute.array !== side.linearRgb) {
    attribute.array = side.linearRgb
    attribute.needsUpdate = true
  }
  return true
}

/** Puts what else a side's surface has on the geometry: none is matt paint. */
function showSurface(
  geometry: BufferGeometry,
  name: 'surfaceMain' | 'surfaceOther',
  figure: Figure,
  side: PaintedSide | null,
): void {
  if (side?.figureId !== figure.id) return
  const attribute = geometry.getAttribute(name) as BufferAttribute
  const surface = side.surface ?? mattOf(figure)
  if (attribute.array === surface) return
  attribute.array = surface
  attribute.needsUpdate = true
}

/** One array of nothing a figure. */
const matt = new WeakMap<Figure, Uint8Array>()

function mattOf(figure: Figure): Uint8Array {
  const none = matt.get(figure) ?? new Uint8Array((SURFACE_BYTES * figure.positions.length) / 3)
  matt.set(figure, none)
  return none
}
