"""From a recipe as people write it to a formula: lines read by tables, every guess told, nothing dropped."""
