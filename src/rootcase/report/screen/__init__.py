"""What a page of the app says, composed from the same sentences and tables as the PDF and the terminal."""
