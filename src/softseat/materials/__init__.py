"""Elastomers, metals, coatings and bushes: limits, resistance, strength."""
