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
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.01, worst 0.02.
    shape: {
      absorptionFloor: -8.1384,
      absorptionBands: [
        [3.7104, -1.1557, 0.16],
        [4.6341, -1.1639, 0.16034],
        [-0.40735, 0.47642, 0.4275],
      ],
      scatteringFloor: -1.3967,
      scatteringBand: [0.80342, -1.0754, 1.4001],
    },
  },
  {
    ci: 'PBk7',
    name: 'carbon black',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.00, worst 0.00.
    shape: {
      absorptionFloor: 1.055,
      absorptionBands: [
        [-0.076241, -0.89391, 0.16],
        [0.063829, -0.14552, 0.51892],
        [0.039945, 0.1323, 0.69004],
      ],
      scatteringFloor: -1.2933,
      scatteringBand: [0.10703, -0.035639, 0.68195],
    },
  },
  {
    ci: 'PBk9',
    name: 'bone black',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.00, worst 0.00.
    shape: {
      absorptionFloor: -2.3114,
      absorptionBands: [
        [0.30417, -1.2359, 0.16],
        [0.099725, -0.45318, 0.25487],
        [0.085889, 0.17748, 0.3709],
      ],
      scatteringFloor: -4.5895,
      scatteringBand: [-0.27606, 1.3008, 1.0046],
    },
  },
  {
    ci: 'PB29',
    name: 'ultramarine blue',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.01, worst 0.03.
    shape: {
      absorptionFloor: -4.2876,
      absorptionBands: [
        [-1.5471, -0.65281, 0.20649],
        [2.9338, 0.16498, 0.47028],
        [1.2101, 0.76106, 0.29733],
      ],
      scatteringFloor: -4.9162,
      scatteringBand: [-1.1207, -0.52587, 0.32212],
    },
  },
  {
    ci: 'PB15:4',
    name: 'phthalo blue, green shade',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.12, worst 0.27.
    shape: {
      absorptionFloor: -3.8613,
      absorptionBands: [
        [3.867, -1.1155, 0.19122],
        [1.7767, 0.079813, 0.25481],
        [4.8045, 0.76146, 0.49835],
      ],
      scatteringFloor: -1.3244,
      scatteringBand: [-4.0444, -0.31126, 0.43154],
    },
  },
  {
    ci: 'PB15:1',
    name: 'phthalo blue, red shade',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.10, worst 0.22.
    shape: {
      absorptionFloor: -0.92185,
      absorptionBands: [
        [-3.6727, -0.61686, 0.40388],
        [1.4808, -0.94916, 0.16],
        [1.3527, 0.13023, 0.38838],
      ],
      scatteringFloor: -2.4853,
      scatteringBand: [-3.1755, -0.46472, 0.36535],
    },
  },
  {
    ci: 'PB28',
    name: 'cobalt blue',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.02, worst 0.07.
    shape: {
      absorptionFloor: -7.6919,
      absorptionBands: [
        [3.5963, -1.2674, 0.48336],
        [5.5616, 0.0899, 0.33379],
        [4.0132, 0.61779, 0.19296],
      ],
      scatteringFloor: -3.8523,
      scatteringBand: [-1.3314, 0.15621, 0.27298],
    },
  },
  {
    ci: 'PB36:1',
    name: 'cobalt blue-green',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.01, worst 0.05.
    shape: {
      absorptionFloor: -6.5667,
      absorptionBands: [
        [2.5783, -0.91699, 0.35461],
        [4.2778, 0.076753, 0.26791],
        [3.9212, 0.58633, 0.20546],
      ],
      scatteringFloor: -2.9143,
      scatteringBand: [-1.3274, 0.28265, 0.26242],
    },
  },
  {
    ci: 'PB60',
    name: 'indanthrone blue',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.02, worst 0.03.
    shape: {
      absorptionFloor: -2.2558,
      absorptionBands: [
        [-0.68515, -0.76863, 0.16],
        [0.75672, 0.11137, 0.33279],
        [2.1453, 0.7078, 0.54935],
      ],
      scatteringFloor: -2.4614,
      scatteringBand: [-2.598, -0.4958, 0.46976],
    },
  },
  {
    ci: 'PG7',
    name: 'phthalo green',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.19, worst 0.47.
    shape: {
      absorptionFloor: -0.45357,
      absorptionBands: [
        [-5.4203, -0.19638, 0.24035],
        [2.7315, -0.14386, 0.16574],
        [1.0412, 0.44916, 0.34196],
      ],
      scatteringFloor: -1.4562,
      scatteringBand: [-3.5489, -0.14934, 0.44022],
    },
  },
  {
    ci: 'PG17',
    name: 'chromium oxide green',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.08, worst 0.17.
    shape: {
      absorptionFloor: -3.7739,
      absorptionBands: [
        [7.2198, -0.67062, 0.22822],
        [-5.1688, -0.68063, 0.16],
        [2.2307, 0.40649, 0.34342],
      ],
      scatteringFloor: -3.2929,
      scatteringBand: [1.1154, -0.026009, 0.50047],
    },
  },
  {
    ci: 'PR122',
    name: 'quinacridone magenta',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.15, worst 0.38.
    shape: {
      absorptionFloor: -6.7313,
      absorptionBands: [
        [4.8766, -0.87657, 0.20614],
        [3.6154, -0.39332, 0.16],
        [6.3693, 0.049491, 0.2777],
      ],
      scatteringFloor: -9.0373,
      scatteringBand: [5.6766, -0.12288, 0.86939],
    },
  },
  {
    ci: 'PV19',
    name: 'quinacridone violet',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.12, worst 0.31.
    shape: {
      absorptionFloor: -7.6714,
      absorptionBands: [
        [3.5127, -0.21545, 0.33467],
        [2.9477, 0.14527, 0.18369],
        [3.9568, -0.82399, 0.6591],
      ],
      scatteringFloor: -4.2183,
      scatteringBand: [1.1631, 0.042148, 0.34047],
    },
  },
  {
    ci: 'PV23',
    name: 'dioxazine violet',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.06, worst 0.36.
    shape: {
      absorptionFloor: -5.8597,
      absorptionBands: [
        [2.6676, -1.043, 0.20136],
        [6.2368, 0.013521, 0.5718],
        [1.5795, 0.65483, 0.16],
      ],
      scatteringFloor: -5.7125,
      scatteringBand: [3.0855, 0.16528, 0.45001],
    },
  },
  {
    ci: 'PR254',
    name: 'diketo-pyrrolo-pyrrole red',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.08, worst 0.10.
    shape: {
      absorptionFloor: -7.4794,
      absorptionBands: [
        [6.486, -0.82232, 0.59945],
        [3.311, -0.11649, 0.30417],
        [3.5279, 0.19491, 0.16],
      ],
      scatteringFloor: -3.6544,
      scatteringBand: [1.9419, 0.42235, 0.28248],
    },
  },
  {
    ci: 'PR5',
    name: 'naphthol red',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.06, worst 0.12.
    shape: {
      absorptionFloor: -1.1467,
      absorptionBands: [
        [1.7165, 0.15196, 0.16],
        [3.2845, -0.05916, 0.38719],
        [-5.9682, 0.87827, 0.70517],
      ],
      scatteringFloor: -4.0491,
      scatteringBand: [1.8786, 0.074912, 0.32959],
    },
  },
  {
    ci: 'PR101',
    name: 'red oxide',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.01, worst 0.05.
    shape: {
      absorptionFloor: -3.7447,
      absorptionBands: [
        [1.1632, -0.27862, 0.35581],
        [0.87844, 0.042936, 0.16],
        [2.847, -1.1471, 0.93404],
      ],
      scatteringFloor: -3.2094,
      scatteringBand: [1.4025, 0.4463, 0.35462],
    },
  },
  {
    ci: 'PO73',
    name: 'pyrrole orange',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.17, worst 0.37.
    shape: {
      absorptionFloor: -10.02,
      absorptionBands: [
        [8.4773, -0.73759, 0.60064],
        [4.8325, 0.028588, 0.16479],
        [1.9637, -0.31052, 0.16],
      ],
      scatteringFloor: -5.3771,
      scatteringBand: [2.7038, 0.21378, 0.71719],
    },
  },
  {
    ci: 'PY43',
    name: 'yellow ochre',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.02, worst 0.10.
    shape: {
      absorptionFloor: -4.8738,
      absorptionBands: [
        [2.0024, -0.9958, 0.47923],
        [1.599, -0.26617, 0.23633],
        [2.0006, -0.99655, 0.47939],
      ],
      scatteringFloor: -3.7076,
      scatteringBand: [1.1102, -0.17524, 1.088],
    },
  },
  {
    ci: 'PY43 raw',
    name: 'raw sienna',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.01, worst 0.03.
    shape: {
      absorptionFloor: -4.5861,
      absorptionBands: [
        [1.1774, -0.25357, 0.23058],
        [1.7045, -1.0196, 0.52835],
        [1.7054, -1.0195, 0.52811],
      ],
      scatteringFloor: -3.3206,
      scatteringBand: [0.222, 0.099682, 0.21641],
    },
  },
  {
    ci: 'PBr7 burnt sienna',
    name: 'burnt sienna',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.01, worst 0.02.
    shape: {
      absorptionFloor: -3.1138,
      absorptionBands: [
        [0.58698, -0.057018, 0.2329],
        [1.9378, -0.83391, 0.82585],
        [-1.4037, 1.1685, 0.78314],
      ],
      scatteringFloor: -4.0185,
      scatteringBand: [0.53314, 0.46354, 0.33464],
    },
  },
  {
    ci: 'PBr7 raw umber',
    name: 'raw umber',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.00, worst 0.00.
    shape: {
      absorptionFloor: -1.0728,
      absorptionBands: [
        [0.41754, -1.177, 0.21894],
        [0.27908, -0.54647, 0.39935],
        [-0.3369, 1.2944, 0.98132],
      ],
      scatteringFloor: -3.3166,
      scatteringBand: [-0.80395, 0.88899, 0.95094],
    },
  },
  {
    ci: 'PBr7 burnt umber',
    name: 'burnt umber',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.00, worst 0.01.
    shape: {
      absorptionFloor: -1.8648,
      absorptionBands: [
        [1.2388, -1.0416, 0.67969],
        [0.26671, -0.12994, 0.25848],
        [-0.91276, 1.3003, 0.77606],
      ],
      scatteringFloor: -4.4656,
      scatteringBand: [0.41544, 0.37492, 0.45447],
    },
  },
  {
    ci: 'PY74',
    name: 'hansa yellow',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.25, worst 0.37.
    shape: {
      absorptionFloor: -7.7025,
      absorptionBands: [
        [3.5306, -0.66515, 0.28067],
        [3.7194, -0.34646, 0.16],
        [5.5516, -1.1171, 0.46028],
      ],
      scatteringFloor: -6.5654,
      scatteringBand: [5.301, 0.11099, 1.0617],
    },
  },
  {
    ci: 'PY83',
    name: 'diarylide yellow',
    // Unfitted films of 1, 3, 8, 30 µm: median ΔE00 0.08, worst 0.20.
    shape: {
      absorptionFloor: -8.0212,
      absorptionBands: [
        [3.107, -0.26317, 0.16993],
        [-0.92284, 0.22148, 0.16],
        [8.3228, -0.80368, 0.53104],
      ],
      scatteringFloor: -2.5183,
      scatteringBand: [0.96482, -0.12096, 0.37949],
    },
  },
]
