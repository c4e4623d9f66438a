"""What can go wrong around the service, done to real processes of it, and what is then counted."""
