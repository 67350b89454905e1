"""What takes a tree's growth away, how sure that is, and what the soil does not explain."""
