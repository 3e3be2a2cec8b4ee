"""The service plan: one room, a file for each part of a plan."""
