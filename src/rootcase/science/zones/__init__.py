"""Ground round a tree: how far it is protected, how much soil a crown asks for, how much a layer takes."""
