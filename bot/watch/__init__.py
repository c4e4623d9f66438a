"""Health and figures of a running process."""
