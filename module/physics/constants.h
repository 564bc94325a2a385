/* SPDX-License-Identifier: MIT */
/*
 * Constants of nature and of common tables, each with its source. SI units.
 */
#ifndef OVERWINTER_PHYSICS_CONSTANTS_H
#define OVERWINTER_PHYSICS_CONSTANTS_H

/* 0 C in kelvins: definition of the Celsius scale (ITS-90). */
#define OW_KELVIN 273.15

/* Stefan-Boltzmann constant, W/m2K4: CODATA 2018. */
#define OW_STEFAN_BOLTZMANN 5.670374419e-8

/* Latent heat of melting, J/kg: TEOS-10 / IAPWS-06 with IAPWS-95 (333 426.5). */
#define OW_LATENT_J_KG 333430.0

/* Density by which volumes of water are counted, kg/m3 (999.84 at 0 C, IAPWS-95). */
#define OW_WATER_KG_M3 1000.0

/* Density of ice Ih at its melting point, kg/m3: IAPWS R10-06(2009) check table 6. */
#define OW_ICE_KG_M3 916.72

/* Density of water at 0 C, kg/m3: IAPWS-95; only the growth on freezing needs it so exactly. */
#define OW_WATER_0C_KG_M3 999.843

/* Latent heat per volume of water, J/m3. */
#define OW_LATENT_J_M3 (OW_WATER_KG_M3 * OW_LATENT_J_KG)

/* Volume of ice over volume of the water it was: 1.0907 (IAPWS densities at 0 C). */
#define OW_ICE_GROWTH (OW_WATER_0C_KG_M3 / OW_ICE_KG_M3)

/* Heat capacities per volume of the constituent, J/m3K: de Vries 1963 (from memory). */
#define OW_MINERAL_J_M3K 1.92e6
#define OW_ORGANIC_J_M3K 2.51e6
#define OW_WATER_J_M3K 4.18e6
#define OW_ICE_J_M3K 1.88e6

/* Conductivities of constituents, W/mK: Johansen 1975 as quoted in public code; organic matter
 * from the table of de Vries 1963. */
#define OW_WATER_W_MK 0.57
#define OW_ICE_W_MK 2.2
#define OW_QUARTZ_W_MK 7.7
#define OW_OTHER_MINERAL_W_MK 2.0
#define OW_ORGANIC_W_MK 0.25

/* Heat capacity of air per volume, Wh/m3K and J/m3K: common heating-load practice. */
#define OW_AIR_WH_M3K 0.335
#define OW_AIR_J_M3K (OW_AIR_WH_M3K * 3600.0)
#define OW_COOL_AIR_J_M3K 1277.0 /* dry, at 5 C; handbook */

/* Surface resistances, m2K/W: ISO 6946; the outside one is from memory. */
#define OW_RSI_LEVEL_M2K_W 0.13
#define OW_RSI_UP_M2K_W 0.10
#define OW_RSI_DOWN_M2K_W 0.17
#define OW_RSE_M2K_W 0.04

/* Unit changes. Btu: international table; the others follow by definition. */
#define OW_W_PER_BTU_H 0.29307107
#define OW_U_PER_US_U 5.678263 /* W/m2K per Btu/h ft2 F */

#endif
