/** Ready-made sets of torches, each sweeping the whole figure. */
export type TorchSetName = 'overhead' | 'front-and-back' | 'three-quarter' | 'ring'
