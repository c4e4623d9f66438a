"""The running program: putting it together, its parts, clocks and loops, start and end."""
