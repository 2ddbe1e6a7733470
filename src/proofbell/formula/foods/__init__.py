"""What goes in: what a spoon, a millilitre or an egg of it weighs, and how much of it is water."""
