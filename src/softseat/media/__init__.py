"""What flows: identity, density, vapour pressure, viscosity, gas properties, solids, chemistry group."""
