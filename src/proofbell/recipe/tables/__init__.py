"""What things weigh, what they are, and how cooks measure: tables with their sources."""
