"""A laboratory's sheet: what its headers mean, which way round it stands, what its cells say beside their numbers."""
