"""From lines to the figures people compare, again as lines."""
