"""What a soil holds dissolved and bound: salts, sodium, nitrogen, cations, lime, and what changes them."""
