"""Numbers and results as words, the same for the page, the terminal and the pictures' neighbours."""
