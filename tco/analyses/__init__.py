"""Questions put to the finished model: where the answer changes, how sure it is. Only evaluate() and build()."""
