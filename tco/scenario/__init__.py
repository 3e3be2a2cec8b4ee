"""What the user writes: reading, checking and completing a scenario file."""
