"""The day's energy by situation, system and bank, and the heat behind a panel."""
