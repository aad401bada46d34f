"""Fuel, the catalogue of heaters, and the parts of the hour that a fire and its store need."""
