"""Ratings, test pressures and times, equipment category."""
