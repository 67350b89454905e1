"""What the crown of a tree tells: its classes, leaves and shoots, and what its kind stands."""
