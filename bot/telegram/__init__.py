"""The messaging service: what it tells us, what we ask of it, and how the bytes travel."""
