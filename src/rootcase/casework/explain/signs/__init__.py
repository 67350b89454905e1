"""Causes the soil cannot see: their signs, what was read of them, what that leaves."""
