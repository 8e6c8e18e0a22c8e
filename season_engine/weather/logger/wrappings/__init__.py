"""Tables that come as something else than lines of text: packed, as JSON, markup or a workbook."""
