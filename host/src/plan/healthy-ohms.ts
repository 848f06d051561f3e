/** Ohms of a healthy joint where the plan is silent (the plan format's own figures). */
export const healthyOhms = { contact: 0.01, socketGround: 0.02, groundBond: 0.02 } as const;
