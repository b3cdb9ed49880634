"""Documents to hand over: schedule, wireway sheets, cut list, parts, labels, test sheet, pack and revisions."""
