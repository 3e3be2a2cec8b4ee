"""The study as things to read: figures, pages and the workbook."""
