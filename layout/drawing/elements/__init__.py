"""What drawings are made of: scenes, pens, text measured once, dimensions, labels."""
