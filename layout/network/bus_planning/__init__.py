"""A bus that is planned: its problem in whole numbers, the planner, and the parts that come out."""
