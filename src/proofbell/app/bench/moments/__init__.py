"""What is said of a dough with its moment: where it was put, and that a stage ended a while ago."""
