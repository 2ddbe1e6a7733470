"""How fast a dough ferments and takes on a temperature, along the path that its readings tell."""
