"""From the user's files to a typed project: reader, catalogue of generic devices, register, editing."""
