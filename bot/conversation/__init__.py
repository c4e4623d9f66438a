"""What a person says or taps becomes use cases; what they should read becomes messages as facts."""
