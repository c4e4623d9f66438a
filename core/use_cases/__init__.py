"""What people and the clock can make happen: load, decide, save, queue a message, all in one transaction."""
