"""What a photo holds: lines and their length."""
