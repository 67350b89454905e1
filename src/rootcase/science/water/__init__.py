"""The evaporating power of the air, day by day (FAO-56)."""
