"""A list that somebody else made, translated into the field sheet's pages; what the list does not say is asked."""
