"""What is not known yet, and what the numbers rest on."""
