/** Ohms of a healthy joint where the plan is silent (the plan format's own figures). */
export const healthyOhms = { contact: 0.01, socketGround: 0.02, groundBond: 0.02 } as const;

/** No joint and no wire of a plan is better than this, ohms: a crimp's tenth of a milliohm (common practice, no source). */
export const leastOhms = 1e-4;
