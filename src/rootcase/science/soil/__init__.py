"""Texture, water held, density, strength, infiltration and the depth of roots."""
