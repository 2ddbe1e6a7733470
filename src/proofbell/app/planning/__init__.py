"""The planner beside the screens: its thread, the plan of the day, what it asks on the bench."""
