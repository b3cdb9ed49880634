"""The search for an arrangement: a problem in whole numbers and the stages that solve it."""
