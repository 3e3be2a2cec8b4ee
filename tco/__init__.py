"""Total cost of ownership of production presses: one cost model, read as figures, as a workbook and as words."""
