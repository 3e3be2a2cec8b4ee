"""The live workbook: every line of the model as a formula, with the value of the engine stored beside it."""
