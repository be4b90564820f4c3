"""Nature and law, each number with its source. Units are in the names."""

from __future__ import annotations

# --- units, exact by definition -------------------------------------------------------------
# NIST Handbook 44, Appendix C (US gallon = 231 cubic inches; pound = 0.453 592 37 kg).
LITRES_PER_GALLON = 3.785411784
KG_PER_POUND = 0.45359237
# International foot and mile.
METRES_PER_FOOT = 0.3048
KM_PER_MILE = 1.609344
# UK Weights and Measures Act 1985 (from memory).
LITRES_PER_IMPERIAL_GALLON = 4.54609

# --- water ----------------------------------------------------------------------------------
# 49 CFR 571.110 S9.3.4(e): "1 kg/L (8.3 lb/gal)" for the weight of water aboard.
WATER_KG_PER_LITRE = 1.0

# --- propane, one consistent set at 60 °F ---------------------------------------------------
# Saturated liquid 506.69 kg/m³ at 60 °F (reference equation of Lemmon et al. 2009) = 4.2285 lb/gal;
# gross heat of combustion 2219.2 kJ/mol = 21,637 Btu/lb; the product is 91,491 Btu/gal.
PROPANE_LB_PER_GALLON = 4.2285
PROPANE_KG_PER_LITRE = PROPANE_LB_PER_GALLON * KG_PER_POUND / LITRES_PER_GALLON
PROPANE_BTU_PER_LB = 21_637.0
# 49 CFR 173.304a(d)(1): filling density for specific gravity 0.504–0.510, share of stamped water capacity.
PROPANE_FILLING_LIMIT = 0.42

# --- stove alcohol --------------------------------------------------------------------------
# Ethanol 789.42 kg/m³ at 20 °C; lower heating value 26.8 MJ/kg (1234.8 kJ/mol).
ALCOHOL_KG_PER_LITRE = 0.78942
ALCOHOL_MJ_PER_LITRE = 21.16
# Lower heating value of propane, 2043.1 kJ/mol, used when one fuel stands in for the other on the same pot.
PROPANE_LOWER_MJ_PER_KG = 46.33

# --- people and animals ---------------------------------------------------------------------
# Dietary reference intakes (National Academies, 2005): beverages of an adult man, litres a day.
DRINKING_LITRES_PER_PERSON_DAY = 3.0
# "one ounce a pound a day", widely printed for dogs and cats; 65 mL/kg.
PET_LITRES_PER_KG_DAY = 0.0652

SECONDS_PER_DAY = 86_400.0
