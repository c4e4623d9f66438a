"""Messages on their way out."""
