"""One builder for each page of the site."""
