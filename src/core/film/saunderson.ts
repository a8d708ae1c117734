import type { Finish } from '../recipe/recipe.ts'

/**
 * The air surface. k1: share of light that is turned back before it enters; k2: share of the diffuse light inside that
 * is turned back at the surface. Convention of the whole program: K, S and reflectances inside the stack are internal,
 * and the surface is added once, where light leaves for the eye.
 *
 * Source: J. L. Saunderson, J. Opt. Soc. Am. 32 (1942) 727; k1 is Fresnel's value for n = 1.5, k2 = 0.60 as usual for it
 * (0.596 for diffuse light).
 */
export const SURFACE = { k1: 0.04, k2: 0.6 } as const

/**
 * How much of the surface's own reflection reaches the eye away from the mirror angle. As roughness grows, reflectance
 * without the mirror angle rises to that with it (García-Valenzuela and others 2011); a half for satin is our choice.
 */
export const FINISH_SHARE: Readonly<Record<Finish, number>> = { matt: 1, satin: 0.5, gloss: 0 }

/**
 * Internal to seen reflectance.
 * @param finish share of the surface's own reflection that reaches the eye: 1 matt, 0 gloss seen off the mirror angle
 */
export const seenReflectance = (internal: number, finish = 1): number =>
  finish * SURFACE.k1 + ((1 - SURFACE.k1) * (1 - SURFACE.k2) * internal) / (1 - SURFACE.k2 * internal)

/** Seen (matt) to internal reflectance. Below k1 there is none: the result is then negative. */
export const internalReflectance = (seen: number): number =>
  (seen - SURFACE.k1) / ((1 - SURFACE.k1) * (1 - SURFACE.k2) + SURFACE.k2 * (seen - SURFACE.k1))

/** What adds up by area when patches of different internal reflectance lie side by side: seen reflectance, unscaled. */
export const mixable = (internal: number): number => internal / (1 - SURFACE.k2 * internal)

/** The inverse: internal reflectance of the even surface that looks like the mixture. */
export const evenInternal = (mixed: number): number => mixed / (1 + SURFACE.k2 * mixed)
