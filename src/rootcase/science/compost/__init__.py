"""Compost: what goes into a heap, how hot it must be and for how long, how stable and how clean it came out."""
