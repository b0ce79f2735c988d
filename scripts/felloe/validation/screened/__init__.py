"""How each participant did the task, and who is analysed."""
