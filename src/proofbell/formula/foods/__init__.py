"""What goes in: what a spoon or an egg of it weighs, how much of it is water, and what stays out of the dough."""
