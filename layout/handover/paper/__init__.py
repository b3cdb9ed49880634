"""How pages are made: frame, styles, tables that flow, cautions, marks on rows."""
