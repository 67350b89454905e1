"""What runs behind the fence: foreign bytes to plain cells, in a process of its own with limits on what it may take.

Imports nothing but the standard library and one reader, of spreadsheets or of pictures: it must start quickly.
"""
