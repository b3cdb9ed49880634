"""From documents to files on disk: CSV, workbook, drawings, measured values."""
