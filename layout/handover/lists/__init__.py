"""Lists as tables: one value for CSV, workbook and paper."""
