"""Warmth: of the soil by depth and season, and of the season as degree days."""
