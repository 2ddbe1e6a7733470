"""What stands between the app and the terminal: its modes, hang-ups, job control, the boundary for faults."""
