"""What is made: heaps of compost, batches of extract, loads, slides."""
