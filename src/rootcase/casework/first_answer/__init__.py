"""The first answer, by a sheet: five readings of a tree, looked up in what the model said beforehand."""
