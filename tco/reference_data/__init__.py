"""Published tables as data: every value with its unit, source and date."""
