"""Texture, stones, water held and let in, density, strength, air and the depth of roots."""
