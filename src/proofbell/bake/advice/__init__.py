"""What somebody who knows the trade would say at this moment: one table of situations, pure, from the bake's state."""
