import type { PigmentShape } from './pigment-shape.ts'

/** A pigment by its Colour Index name, as a paint of it at full strength dries. */
export interface Pigment {
  readonly ci: string
  readonly name: string
  readonly shape: PigmentShape
}

/**
 * Written by scripts/fit-pigments.ts, fitted so that films agree with published measurements of artists' acrylics
 * (Okumura, RIT 2005; Berns, CIC24 2016) on the scale S(PW6, 550 nm) = 0.45 per µm of dry film. Real paints differ in
 * strength by a factor of 1.5 to 2: two swatches of one's own are better.
 */
export const PIGMENTS: readonly Pigment[] = [
  {
    ci: 'PW6',
    name: 'titanium white',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.01, worst 0.01.
    shape: {
      absorptionFloor: [-8.3932, -0.18799],
      absorptionBands: [
        [5.5657, -0.97374, 0.060733],
        [0.331, -2.2523, 450.41],
        [-0.38408, 0.31349, 0.50825],
      ],
      scattering: [-0.79695, -0.30989, -0.082962],
    },
  },
  {
    ci: 'PBk7',
    name: 'carbon black',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.00, worst 0.00.
    shape: {
      absorptionFloor: [1.0038, 0.0040463],
      absorptionBands: [
        [0.039146, -0.5667, 0.13078],
        [0.13796, -0.14055, 0.38169],
        [0.084283, 0.66768, 0.44194],
      ],
      scattering: [-1.1873, -0.0071007, -0.090278],
    },
  },
  {
    ci: 'PBk9',
    name: 'bone black',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.00, worst 0.00.
    shape: {
      absorptionFloor: [-2.2673, -0.070832],
      absorptionBands: [
        [-0.078867, -0.8094, 0.14168],
        [0.067292, 0.1213, 0.83818],
        [-0.010723, -2149.6, 4640.6],
      ],
      scattering: [-4.7085, -0.14476, -0.040774],
    },
  },
  {
    ci: 'PB29',
    name: 'ultramarine blue',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.14, worst 0.25.
    shape: {
      absorptionFloor: [-12.241, -7.946],
      absorptionBands: [
        [0.71186, -0.40139, 0.13486],
        [9.0111, 0.021988, 0.36873],
        [16.12, 0.84526, 0.40599],
      ],
      scattering: [-5.3883, 0.95665, 0.35386],
    },
  },
  {
    ci: 'PB15:4',
    name: 'phthalo blue, green shade',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.13, worst 0.46.
    shape: {
      absorptionFloor: [-3.2895, 1.2699],
      absorptionBands: [
        [1.536, -0.75431, 0.088549],
        [4.6234, 0.66676, 0.099578],
        [3.4086, 0.2556, 0.34124],
      ],
      scattering: [-4.7422, 2.3211, 4.4154],
    },
  },
  {
    ci: 'PB15:1',
    name: 'phthalo blue, red shade',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.25, worst 0.74.
    shape: {
      absorptionFloor: [-13.224, -12.069],
      absorptionBands: [
        [1.4461, -0.33655, 0.17052],
        [32.39, 0.54171, 0.44952],
        [-13.25, 0.44345, 0.26756],
      ],
      scattering: [-4.318, 2.3794, 1.5189],
    },
  },
  {
    ci: 'PB28',
    name: 'cobalt blue',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.23, worst 0.48.
    shape: {
      absorptionFloor: [-9.8327, 0.66387],
      absorptionBands: [
        [6.0251, -1.0515, 0.27608],
        [7.7856, 0.10712, 0.49487],
        [2.7845, 0.62968, 0.16484],
      ],
      scattering: [-4.6034, -0.64919, 0.71241],
    },
  },
  {
    ci: 'PB36:1',
    name: 'cobalt blue-green',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.14, worst 0.23.
    shape: {
      absorptionFloor: [-6.3487, -2.7916],
      absorptionBands: [
        [1.1817, -0.14893, 0.050008],
        [4.7038, 0.17186, 0.25311],
        [5.146, 0.66171, 0.206],
      ],
      scattering: [-3.475, -1.1157, -0.34737],
    },
  },
  {
    ci: 'PB60',
    name: 'indanthrone blue',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.09, worst 0.21.
    shape: {
      absorptionFloor: [-2.51, 0.97753],
      absorptionBands: [
        [2.4491, 0.47077, 0.67452],
        [14.532, 1.0031, 0.21024],
        [-26.835, 1.2867, 0.31813],
      ],
      scattering: [-4.0635, 1.9938, 1.3404],
    },
  },
  {
    ci: 'PG7',
    name: 'phthalo green',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.07, worst 0.27.
    shape: {
      absorptionFloor: [-3.6105, 1.5197],
      absorptionBands: [
        [4.3446, -0.80305, 0.10225],
        [2.2993, -0.5728, 0.094652],
        [3.4384, 0.5295, 0.42737],
      ],
      scattering: [-4.7862, 1.2129, 4.6381],
    },
  },
  {
    ci: 'PG17',
    name: 'chromium oxide green',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.03, worst 0.10.
    shape: {
      absorptionFloor: [-4.348, 2.1649],
      absorptionBands: [
        [4.7797, -0.77158, 0.30519],
        [1.6498, -0.31838, 0.10389],
        [2.0749, 0.24928, 0.31239],
      ],
      scattering: [-2.1942, -0.094633, -1.5319],
    },
  },
  {
    ci: 'PR122',
    name: 'quinacridone magenta',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.16, worst 0.36.
    shape: {
      absorptionFloor: [-10.411, 4.2648],
      absorptionBands: [
        [12.377, -0.94433, 0.3424],
        [3.1729, -0.38233, 0.1431],
        [9.7739, 0.011157, 0.32835],
      ],
      scattering: [-3.4285, -0.77658, -3.2653],
    },
  },
  {
    ci: 'PV19',
    name: 'quinacridone violet',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.20, worst 0.33.
    shape: {
      absorptionFloor: [-9.9046, 3.6668],
      absorptionBands: [
        [9.8367, -0.89463, 0.17001],
        [9.3932, -0.41558, 0.23967],
        [7.5299, 0.097514, 0.23021],
      ],
      scattering: [-3.1802, 0.062323, -2.0624],
    },
  },
  {
    ci: 'PV23',
    name: 'dioxazine violet',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.11, worst 0.33.
    shape: {
      absorptionFloor: [-5.1807, -3.6185],
      absorptionBands: [
        [2.6902, -0.13164, 0.2312],
        [0.72845, -0.41459, 0.067731],
        [6.4874, 0.55385, 0.47463],
      ],
      scattering: [-2.9397, 1.2217, -3.3563],
    },
  },
  {
    ci: 'PR254',
    name: 'diketo-pyrrolo-pyrrole red',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.28, worst 0.55.
    shape: {
      absorptionFloor: [-7.839, -5.9021],
      absorptionBands: [
        [6.4869, -0.074424, 0.5083],
        [2.9385, 0.20942, 0.15352],
        [9.3349, 0.8414, 0.11897],
      ],
      scattering: [-2.7782, 1.6633, 0.4264],
    },
  },
  {
    ci: 'PR5',
    name: 'naphthol red',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.11, worst 0.40.
    shape: {
      absorptionFloor: [-3.8462, -4.055],
      absorptionBands: [
        [2.2437, -0.31998, 0.16115],
        [4.3874, 0.10362, 0.21718],
        [62.437, 1.6172, 0.25758],
      ],
      scattering: [-2.3573, 0.22132, -3.4649],
    },
  },
  {
    ci: 'PR101',
    name: 'red oxide',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.08, worst 0.26.
    shape: {
      absorptionFloor: [-4.2555, -2.9116],
      absorptionBands: [
        [3.1119, -0.12739, 0.48422],
        [0.73793, 0.15106, 0.13842],
        [4.2621, 0.91077, 0.25186],
      ],
      scattering: [-2.5011, 1.2391, 0.23968],
    },
  },
  {
    ci: 'PO73',
    name: 'pyrrole orange',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.11, worst 0.41.
    shape: {
      absorptionFloor: [-7.3808, -2.9032],
      absorptionBands: [
        [3.4042, -0.85251, 0.20486],
        [5.6712, -0.27149, 0.25001],
        [3.5875, 0.06945, 0.13841],
      ],
      scattering: [-2.7953, 0.82521, -1.8833],
    },
  },
  {
    ci: 'PY43',
    name: 'yellow ochre',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.02, worst 0.06.
    shape: {
      absorptionFloor: [-4.6193, -0.46593],
      absorptionBands: [
        [3.0131, -1.0473, 0.24253],
        [2.7371, -0.42381, 0.3192],
        [-0.29126, 0.19135, 0.071763],
      ],
      scattering: [-2.6125, -0.14628, -0.42299],
    },
  },
  {
    ci: 'PY43 raw',
    name: 'raw sienna',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.10, worst 0.19.
    shape: {
      absorptionFloor: [-4.0536, -3.1237],
      absorptionBands: [
        [0.95784, -0.31514, 0.235],
        [1.8749, 1.0018, 0.51726],
        [-0.45529, 0.24648, 0.050005],
      ],
      scattering: [-3.1516, 0.032991, -0.35296],
    },
  },
  {
    ci: 'PBr7 burnt sienna',
    name: 'burnt sienna',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.07, worst 0.14.
    shape: {
      absorptionFloor: [-3.7041, -1.3983],
      absorptionBands: [
        [1.9092, -0.19883, 0.65553],
        [1.3314, 0.80307, 0.2536],
        [-1.0853, 0.52191, 0.16285],
      ],
      scattering: [-3.7913, 0.48795, 0.2079],
    },
  },
  {
    ci: 'PBr7 raw umber',
    name: 'raw umber',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.00, worst 0.01.
    shape: {
      absorptionFloor: [-1.2438, -0.11627],
      absorptionBands: [
        [0.68848, -1.268, 0.26114],
        [0.32665, -0.54545, 0.28229],
        [0.10679, -0.042938, 0.17516],
      ],
      scattering: [-3.8325, -0.45836, -0.0048117],
    },
  },
  {
    ci: 'PBr7 burnt umber',
    name: 'burnt umber',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.02, worst 0.08.
    shape: {
      absorptionFloor: [-2.4896, -0.30037],
      absorptionBands: [
        [1.4776, -1.0268, 0.51192],
        [0.86735, -0.12183, 0.39079],
        [0.13606, 0.63676, 0.15364],
      ],
      scattering: [-4.17, 0.30422, -0.15685],
    },
  },
  {
    ci: 'PY74',
    name: 'hansa yellow',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.22, worst 0.34.
    shape: {
      absorptionFloor: [-9.4384, -7.8643],
      absorptionBands: [
        [3.3244, -0.66377, 0.23616],
        [3.7035, -0.33913, 0.15082],
        [10.307, 1.3285, 0.76093],
      ],
      scattering: [-1.2996, 0.45828, -2.0904],
    },
  },
  {
    ci: 'PY83',
    name: 'diarylide yellow',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.18, worst 0.41.
    shape: {
      absorptionFloor: [-4.2836, -3.8884],
      absorptionBands: [
        [4.0602, -0.1623, 0.40798],
        [5.7989, 0.23583, 0.16283],
        [-10.776, 0.21899, 0.21205],
      ],
      scattering: [-1.625, -0.44881, -1.7796],
    },
  },
]
