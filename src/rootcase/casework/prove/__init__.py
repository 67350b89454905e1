"""Prove: whether it worked, against trees left alone."""
