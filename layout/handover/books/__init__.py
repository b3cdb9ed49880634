"""What a person opens: documents in the order in which their reader works."""
