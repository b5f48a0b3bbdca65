/** Speed of light in vacuum, m/s; exact by the definition of the metre (SI Brochure, 9th ed.). */
export const LIGHT_SPEED_M_S = 299_792_458

/** Magnetic constant, H/m: 4π·10⁻⁷, the value before 2019; today's measured one differs in the tenth digit (CODATA 2018). */
export const MAGNETIC_CONSTANT_H_M = 4e-7 * Math.PI

/** Impedance of free space over 2π, ohm: 59.958492 (manpages.org/coax; = µ0·c/2π). */
export const COAX_CONSTANT_OHM = (MAGNETIC_CONSTANT_H_M * LIGHT_SPEED_M_S) / (2 * Math.PI)

/** One neper in decibels, 20·log10(e). */
export const DB_PER_NEPER = 20 * Math.LOG10E
