"""The terminal as a channel, and a trial in it."""
