"""Facts in, text and buttons out. Sentences live in the catalogue; here is only which of them belong together."""
