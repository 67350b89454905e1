"""Choosing: the remedy for one tree, and the set for a property under one purse."""
