"""An edited workbook read back and compared."""
