"""What is drawn: words and numbers ready for the drawing process, which knows nothing else."""
