"""What moves messages: updates on their way in, messages on their way out."""
