"""Updates on their way in."""
