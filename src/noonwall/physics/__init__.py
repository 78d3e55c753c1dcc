"""Pure formulas of heat, light and air flow, each with its source; floats in, floats out."""
