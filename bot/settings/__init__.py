"""Settings: from environment and file, and the keys that seal names and free text."""
