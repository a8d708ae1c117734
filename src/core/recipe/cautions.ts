export interface Caution {
  readonly title: string
  readonly text: string
}

/** What always comes first; every list of cautions carries it. */
export const CAUTIONS_DEFER =
  'Your products’ safety data sheets, local rules and licensed practice come before anything said here: Greycoat plans paint, it does not judge safety.'

/** For the recipe's page and other small places. */
export const CAUTIONS_SHORT: readonly string[] = [
  CAUTIONS_DEFER,
  'Any spray mist can be breathed in, water-based paint included: extract it to the outside and wear a respirator that fits.',
  'A particle filter does not hold back solvent vapour; solvents need a combined vapour and particle filter.',
  'Alcohol and white spirit mist catches fire: no flame, heater, cigarette or sparking fan nearby.',
  'Never spray two-part urethane (isocyanate) at home, nor cadmium, lead, chromate or cobalt pigments.',
  'Keep the compressor at working pressure, and never point the airbrush at skin or eyes.',
]

/**
 * Shown on first use. General knowledge, for a planner's user. Sources: HSE guidance on small mobile sprayers, COSHH and
 * isocyanates; NIOSH Pocket Guide; OSHA 1910.94, .107, .134, .242(b); from memory where none is named.
 */
export const CAUTIONS: readonly Caution[] = [
  { title: 'The data sheet comes first', text: CAUTIONS_DEFER },
  {
    title: 'Every mist can be breathed in',
    text: 'That holds for water-based paint too. “Non-toxic” is about ordinary use, not about a fine mist. Keep others out of it until it has cleared.',
  },
  {
    title: 'Air first, mask second',
    text: 'Prefer the less harmful product, then draw the mist off: a booth that blows outdoors, its filter changed in time. A booth that only returns filtered air keeps the vapour in the room. A mask, gloves and eye protection come on top, not instead.',
  },
  {
    title: 'The right filter',
    text: 'A particle filter (FFP2 or FFP3, N95 or P100) stops droplets and dust, not vapour. Solvent paint and thinner need an organic-vapour filter together with a particle filter (A with P3, or OV with P100). A mask must seal on clean-shaven skin; at work it is fit-tested. No filter makes up for missing oxygen.',
  },
  {
    title: 'No two-part urethanes at home',
    text: 'Their hardener, isocyanate, causes asthma, and filter masks are not suitable against it: it takes air-fed breathing apparatus and a workplace made for it.',
  },
  {
    title: 'Fire',
    text: 'The vapour of isopropyl alcohol ignites from 12 °C up; white spirit mist burns too. No flames, heaters, smoking or fan motors that spark in the vapour’s way. Soaked rags go into a closed metal bin.',
  },
  {
    title: 'What is in the pot',
    text: 'Read the label and, in the data sheet, hazards, fire, handling and exposure (sections 2, 5, 7 and 8). Neither spray nor dry-sand pigments of cadmium, lead, chromate or cobalt.',
  },
  {
    title: 'Sanding and raw resin',
    text: 'Sand wet, draw dust off where it arises, wear a particle mask, wipe up damp. Uncured printing resin sensitises skin: nitrile or neoprene gloves, not latex, and eye protection.',
  },
  {
    title: 'Compressed air',
    text: 'Regulate to the working pressure, 30 psi (2 bar) at most as a rule. Sound hose, working relief valve, water drained; let the pressure off before you take anything apart. Never point it at skin or eyes, never blow people or clothes clean.',
  },
  {
    title: 'Afterwards',
    text: 'Neither eat nor drink where you spray, and wash your hands. Children, pets, pregnant people and people with asthma stay out. Paint and thinner do not go down the drain: local waste rules say where.',
  },
  {
    title: 'When you feel it',
    text: 'Cough, wheeze, dizziness or a rash: stop, get fresh air, ask a doctor and take the data sheet along.',
  },
]
