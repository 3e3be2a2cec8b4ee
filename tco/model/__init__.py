"""The kernel: named lines with expressions. It knows no YAML, no spreadsheet and no HTML."""
